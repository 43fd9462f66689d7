// A shock test rig. Say here what yours has; all choices are in options.h, all wires in the wiring drawing.
//
// With RIG_DRIVE 1 the controller runs your motor. Build a stop switch that cuts the motor's power by wire first,
// within reach of your hand: this program is not a safety device.

#define RIG_NAME "home rig"
#define RIG_POSITION RIG_SLIDE          // or RIG_ANGLE
#define RIG_THERMOMETER 0               // 1: a digital thermometer on I2C, strapped to the shock
#define RIG_CONVERTER_RATE_MHZ 80000    // thousandths of a conversion per second, as the converter's jumper says
#define RIG_DRIVE 0                     // 1: motor driver, stop button and re-arm button are wired

#include <dashpot_rig.h>

void setup() { dashpot::begin(); }

void loop() { dashpot::run(); }
