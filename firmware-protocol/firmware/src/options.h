#pragma once

/**
 * What is on the rig. A sketch defines what differs before it includes dashpot_rig.h; the Makefile does so with -D.
 * The pins are the board's: boards/<board>/pins.h and the wiring drawing.
 */

/** The rig's name, 1 to 32 of A-Z a-z 0-9 space . _ / - */
#ifndef RIG_NAME
#define RIG_NAME "home rig"
#endif

/** 250 000 is exact on a 16 MHz controller; 115 200 is the fallback. */
#ifndef RIG_BAUD
#define RIG_BAUD 250000
#endif

/** Position sensor: RIG_SLIDE, a slide potentiometer on an analog pin, or RIG_ANGLE, a 12-bit I2C angle sensor. */
#define RIG_SLIDE 1
#define RIG_ANGLE 2
#ifndef RIG_POSITION
#define RIG_POSITION RIG_SLIDE
#endif

/** 1 when a digital thermometer of the LM75 kind hangs on the I2C bus, strapped to the shock; its bus address. */
#ifndef RIG_THERMOMETER
#define RIG_THERMOMETER 0
#endif
#ifndef RIG_THERMOMETER_DEVICE
#define RIG_THERMOMETER_DEVICE 0x48
#endif

/** Position samples per 1000 s after a reset, 31 to 1000 a second; RATE changes it. */
#ifndef RIG_POSITION_RATE_MHZ
#define RIG_POSITION_RATE_MHZ 400000
#endif

/**
 * Load-cell converter: conversions per 1000 s as its jumper or pin selects, 10 to 1000 a second; its clock pulses for
 * one read (25 is gain 128 on the common two-wire part); how it averages, if you know: none, one_conversion, sinc3,
 * sinc4, unknown. With unknown the host finds it out from the recordings.
 */
#ifndef RIG_CONVERTER_RATE_MHZ
#define RIG_CONVERTER_RATE_MHZ 80000
#endif
#ifndef RIG_CONVERTER_PULSES
#define RIG_CONVERTER_PULSES 25
#endif
#ifndef RIG_CONVERTER_KERNEL
#define RIG_CONVERTER_KERNEL unknown
#endif

/** 1 when the controller runs the motor; a stop button and a re-arm button must then be wired. */
#ifndef RIG_DRIVE
#define RIG_DRIVE 0
#endif

/** End switches, 0 to 2, wired normally closed. */
#ifndef RIG_END_SWITCHES
#define RIG_END_SWITCHES 1
#endif

/** Crank speeds in thousandths of a revolution per second: with full power, measured once; slowest and fastest allowed. */
#ifndef RIG_FULL_POWER_MHZ
#define RIG_FULL_POWER_MHZ 4000
#endif
#ifndef RIG_SLOWEST_MHZ
#define RIG_SLOWEST_MHZ 100
#endif
#ifndef RIG_FASTEST_MHZ
#define RIG_FASTEST_MHZ 4000
#endif

/** Time from rest to full power. */
#ifndef RIG_SOFT_START_MS
#define RIG_SOFT_START_MS 1000
#endif

/** How long the drive runs on without hearing from the host. */
#ifndef RIG_LEASE_MS
#define RIG_LEASE_MS 1000
#endif

/**
 * Raw counts beyond which the drive stops. The defaults are about 60 N on a 10 kg cell of 1 mV/V at gain 128
 * (21 900 counts/N, 5 V excitation); set them for your cell.
 */
#ifndef RIG_LOWEST_LOAD_COUNTS
#define RIG_LOWEST_LOAD_COUNTS -1314000
#endif
#ifndef RIG_HIGHEST_LOAD_COUNTS
#define RIG_HIGHEST_LOAD_COUNTS 1314000
#endif

#if RIG_POSITION != RIG_SLIDE && RIG_POSITION != RIG_ANGLE
#error "RIG_POSITION: wanted RIG_SLIDE or RIG_ANGLE"
#endif
#if RIG_THERMOMETER_DEVICE < 0x08 || RIG_THERMOMETER_DEVICE > 0x77 || RIG_THERMOMETER_DEVICE == 0x36
#error "RIG_THERMOMETER_DEVICE: wanted an address of 0x08 to 0x77 that is not the angle sensor's 0x36"
#endif
#if RIG_POSITION_RATE_MHZ < 31000 || RIG_POSITION_RATE_MHZ > 1000000
#error "RIG_POSITION_RATE_MHZ: wanted 31000 to 1000000"
#endif
#if RIG_CONVERTER_RATE_MHZ < 10000 || RIG_CONVERTER_RATE_MHZ > 1000000
#error "RIG_CONVERTER_RATE_MHZ: wanted 10000 to 1000000"
#endif
#if RIG_CONVERTER_PULSES < 24 || RIG_CONVERTER_PULSES > 27
#error "RIG_CONVERTER_PULSES: wanted 24 to 27"
#endif
#if RIG_END_SWITCHES < 0 || RIG_END_SWITCHES > 2
#error "RIG_END_SWITCHES: wanted 0 to 2"
#endif
#if RIG_SLOWEST_MHZ < 1 || RIG_FASTEST_MHZ < RIG_SLOWEST_MHZ || RIG_FULL_POWER_MHZ < RIG_FASTEST_MHZ || \
    RIG_FULL_POWER_MHZ > 65000
#error "wanted 1 <= RIG_SLOWEST_MHZ <= RIG_FASTEST_MHZ <= RIG_FULL_POWER_MHZ <= 65000"
#endif
#if RIG_SOFT_START_MS < 100 || RIG_SOFT_START_MS > 60000
#error "RIG_SOFT_START_MS: wanted 100 to 60000"
#endif
#if RIG_LEASE_MS < 200 || RIG_LEASE_MS > 5000
#error "RIG_LEASE_MS: wanted 200 to 5000"
#endif
