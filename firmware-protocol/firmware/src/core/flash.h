#pragma once

/**
 * Where constant tables live. A board whose constants would otherwise be copied into scarce RAM defines both of
 * these before it includes the core; everywhere else a constant is simply read.
 */
#ifndef DASHPOT_IN_FLASH
#define DASHPOT_IN_FLASH
#define DASHPOT_FLASH_BYTE(address) (*(address))
#endif
