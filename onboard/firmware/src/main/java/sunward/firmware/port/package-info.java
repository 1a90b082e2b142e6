/**
 * The float computer's only ways to the world: flash, modem, sensors. There is no clock port: every event carries the
 * reading of the float's clock, so that a replayed recording needs none and the firmware can never ask twice.
 */
package sunward.firmware.port;
