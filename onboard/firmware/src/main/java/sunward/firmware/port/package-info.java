/**
 * The float computer's only ways to the world: flash, modem, sensors. Time comes with each event; the firmware owns no
 * clock of its own beyond {@link sunward.firmware.port.Clock}.
 */
package sunward.firmware.port;
