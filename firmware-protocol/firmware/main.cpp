/** The program that the Makefile builds. The hobby IDE builds the same from examples/rig/rig.ino. */
#include "src/dashpot_rig.h"

int main() {
  dashpot::begin();
  for (;;) dashpot::run();
}
