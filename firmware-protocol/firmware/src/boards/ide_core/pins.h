#pragma once

/** Pin numbers as the hobby IDE counts them. A sketch may define others before it includes dashpot_rig.h. */

/** Converter data: must be able to interrupt. */
#ifndef RIG_PIN_CONVERTER_DATA
#define RIG_PIN_CONVERTER_DATA 8
#endif
#ifndef RIG_PIN_CONVERTER_CLOCK
#define RIG_PIN_CONVERTER_CLOCK 4
#endif
#ifndef RIG_PIN_SLIDE
#define RIG_PIN_SLIDE A0
#endif
/** Motor driver; both need a pull-down of their own. */
#ifndef RIG_PIN_MOTOR_POWER
#define RIG_PIN_MOTOR_POWER 3
#endif
#ifndef RIG_PIN_MOTOR_ENABLE
#define RIG_PIN_MOTOR_ENABLE 7
#endif
/** Normally closed to ground. */
#ifndef RIG_PIN_STOP
#define RIG_PIN_STOP 2
#endif
#ifndef RIG_PIN_END_1
#define RIG_PIN_END_1 5
#endif
#ifndef RIG_PIN_END_2
#define RIG_PIN_END_2 6
#endif
/** Normally open to ground. */
#ifndef RIG_PIN_REARM
#define RIG_PIN_REARM 9
#endif
/** Largest number that analogRead gives; 4095 on cores that read 12 bits. */
#ifndef RIG_ANALOG_MAX
#define RIG_ANALOG_MAX 1023
#endif
