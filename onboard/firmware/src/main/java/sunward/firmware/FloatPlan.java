package sunward.firmware;

/**
 * What the firmware knows of its plan: plain numbers, already checked, filled once before boot. The plan reader on shore
 * (or a decoded order) fills it; the firmware never parses text.
 */
public final class FloatPlan {
    /** One head as the firmware sees it. */
    public static final class Head {
        /** True when it looks down at upwelling radiance; false for downwelling irradiance. */
        public boolean upwelling;

        /** Aperture in the hull frame, m: x forward, y starboard, z down, from the hull axis at the heads' level. */
        public double armXM;

        /** See {@link #armXM}. */
        public double armYM;

        /** See {@link #armXM}. */
        public double armZM;

        /** Half field of view in water, degrees. */
        public double halfFieldDeg;

        /** Channels flown, 16 to 1024 (fewer when thinned). */
        public int channels;

        /** Electrons per count. */
        public double gainElectronsPerCount;

        /** Read noise, counts. */
        public double readNoiseCounts;

        /** Largest count. */
        public int fullScaleCounts;
    }

    /** Float number, 1 to 16383. */
    public int floatNumber;

    /** True when a simulator flies it: every message says so. */
    public boolean simulated;

    /** Key of the float's messages to shore, or null: messages go unsealed. */
    public byte[] sealKey;

    /** Heads, one to four. */
    public Head[] heads;

    /** True when only some channels are flown: neighbours are then not averaged. */
    public boolean thinned;

    /** Hull radius, m. */
    public double hullRadiusM;

    /** Hull top above the apertures, m. */
    public double hullTopM;

    /** Hull bottom below the apertures, m. */
    public double hullBottomM;

    /** Pressure port above the apertures, m. */
    public double portAboveM;

    /** What the float's controller makes of the ascent: park and dwell, dbar and s; speeds, m/s, slow above a pressure. */
    public double parkDbar;

    /** See {@link #parkDbar}. */
    public double slowAboveDbar;

    /** See {@link #parkDbar}. */
    public double speedMPerS;

    /** See {@link #parkDbar}. */
    public double slowSpeedMPerS;

    /** See {@link #parkDbar}. */
    public double dwellDbar;

    /** See {@link #parkDbar}. */
    public double dwellS;

    /** Radiometry starts at this pressure, dbar. */
    public double startDbar;

    /** Lower edges of the bin zones, dbar, ascending. */
    public double[] zoneToDbar;

    /** Bin width in each zone, dbar. */
    public double[] zoneWidthDbar;

    /** Scans more tilted than this are not used, degrees. */
    public double maxTiltDeg;

    /** Flash and spike limit, standard deviations of the bin from its median. */
    public double rejectSigma;

    /** Shortest exposure, ms. */
    public double shortestMs;

    /** Doublings available, 1 to 15. */
    public int octaves;

    /** Time between instants, ms, and when an exposure is longer than {@link #longAboveMs}. */
    public int scanIntervalMs;

    /** See {@link #scanIntervalMs}. */
    public int longScanIntervalMs;

    /** See {@link #scanIntervalMs}. */
    public double longAboveMs;

    /** Raise the exposure when the brightest channel is below this share of full scale. */
    public double raiseBelowShare;

    /** Lower the exposure when the brightest channel is above this share of full scale. */
    public double lowerAboveShare;

    /** Every so manieth scan is a dark. */
    public int darkEvery;

    /** A head that has warmed or cooled by this since its last dark takes one, 0.01 degC. */
    public int darkEveryCdeg;

    /** The float's own lights flash after every so manieth instant; 0: never. */
    public int flashEvery;

    /** How long they shine, ms. */
    public double flashMs;

    /** Predicted loss at 555 nm above which a scan is shaded, share 0 to 1. */
    public double shadedLoss;

    /** Hysteresis of the preference, share of loss. */
    public double hysteresisLoss;

    /** Sun counted as down below this elevation, degrees. */
    public double sunDownDeg;

    /** Sun counted as near the zenith within this angle, degrees. */
    public double sunNearZenithDeg;

    /** Tilt sensors disagree above this, degrees. */
    public double tiltDisagreementDeg;

    /** A fix older than this is stale, s. */
    public double staleFixS;

    /** A declination older than this is stale, days. */
    public double staleDeclinationDays;

    /** Attenuation at 555 nm that the prediction assumes, 1/m. */
    public double attenuation555PerM;

    /** Declination, degrees, east positive, and its date, days since 2000-01-01. */
    public double declinationDeg;

    /** See {@link #declinationDeg}. */
    public int declinationDay;

    /** Longest message, bytes. */
    public int messageBytes;

    /** Messages of data allowed for a dive. */
    public int dataMessages;

    /** Repair messages for a dive that fills its data messages; in proportion for a smaller one. */
    public int repairMessages;

    /** What all messages of a dive may take at most: bytes, joules and seconds at the surface; 0: no limit. */
    public double mostBytes;

    /** See {@link #mostBytes}. */
    public double mostJoules;

    /** See {@link #mostBytes}. */
    public double mostSurfaceS;

    /** Time that a message takes at the surface, s. */
    public double messageS;

    /** Channels averaged into a sample on the wire; 0: the finest that fits. */
    public int channelsPerSample;

    /** Bytes are spent on precision above this pressure first, dbar. */
    public double nearSurfaceDbar;

    /** First eight bytes of the plan digest. */
    public final byte[] planDigest = new byte[8];

    /** First eight bytes of the calibration digest. */
    public final byte[] calibrationDigest = new byte[8];

    /** A float deeper than this rises at once, dbar. */
    public double deepestDbar;

    /** Longest descent, and longest rise to the surface, ms. */
    public long descentLimitMs;

    /** See {@link #descentLimitMs}. */
    public long riseLimitMs;

    /** A float that was told to move and has not done so for this long is stuck, ms. */
    public long notMovingMs;

    /** Time from one descent to the rise that follows, ms. */
    public long betweenDivesMs;

    /** Longest wait for a fix before the dive is packed without one, ms. */
    public long fixWaitMs;

    /** Longest session, time of one message and of listening for orders, ms; how often it listens. */
    public long sessionMs;

    /** See {@link #sessionMs}. */
    public long messageMs;

    /** See {@link #sessionMs}. */
    public long listenMs;

    /** See {@link #sessionMs}. */
    public int listenRounds;

    /** Sleep between two sessions, and how long the float stays up for messages that the network does not take, ms. */
    public long retryMs;

    /** See {@link #retryMs}. */
    public long retryForMs;

    /** With less charge than this left the float dives no more, percent. */
    public int lowBatteryPercent;

    /** Joules of the pump per dive; watts of heads, sensors and computer while profiling; joules per message. */
    public double pumpJ;

    /** See {@link #pumpJ}. */
    public double headsW;

    /** See {@link #pumpJ}. */
    public double sensorsW;

    /** See {@link #pumpJ}. */
    public double computerW;

    /** See {@link #pumpJ}. */
    public double messageJ;

    /** Watts between dives, asleep, drifting and sinking. */
    public double sleepW;

    /** Joules of a full battery; 0 when not known. */
    public double batteryJ;
}
