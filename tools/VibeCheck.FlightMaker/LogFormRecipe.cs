namespace VibeCheck.FlightMaker;

/// <summary>Log format of a recorder: everything that may differ between recorders of the same flight.</summary>
public sealed record LogFormRecipe(string Name)
{
    public char Separator { get; init; } = ',';

    public bool DecimalComma { get; init; }

    /// <summary>Form of the timestamps: s, ms, us, ns, iso or clock.</summary>
    public string Time { get; init; } = "s";

    /// <summary>Header of the time column; "" for the usual one of its unit.</summary>
    public string TimeHeader { get; init; } = "";

    /// <summary>First timestamp, s: the recorder's clock at take-off.</summary>
    public double ClockStartS { get; init; }

    /// <summary>Range of the counter in units of the timestamp, after which it restarts at zero; 0 for none.</summary>
    public double WrapAt { get; init; }

    /// <summary>Standard deviation of the jitter of the IMU's timestamps, s.</summary>
    public double JitterS { get; init; }

    /// <summary>Headers of the x, y, z acceleration.</summary>
    public IReadOnlyList<string> Acc { get; init; } = ["acc_x_mps2", "acc_y_mps2", "acc_z_mps2"];

    public double AccPerMps2 { get; init; } = 1;

    public IReadOnlyList<string> Rates { get; init; } = ["rate_x_radps", "rate_y_radps", "rate_z_radps"];

    public double RatePerRadps { get; init; } = 1;

    /// <summary>Headers of a motor's columns: {0} is its id, {1} its number counted from 1, {2} its number counted from 0.</summary>
    public string Rpm { get; init; } = "{0}_rpm";

    /// <summary>Logged speed per rpm; negative for electrical speed, which is also multiplied by the pole pairs.</summary>
    public double SpeedPerRpm { get; init; } = 1;

    public bool ElectricalSpeed { get; init; }

    public string Command { get; init; } = "{0}_command_pct";

    public double CommandFactor { get; init; } = 100;

    public double CommandOffset { get; init; }

    public string MotorTemp { get; init; } = "{0}_motor_temp_c";

    public string EscTemp { get; init; } = "{0}_esc_temp_c";

    public double TempFactor { get; init; } = 1;

    public double TempOffset { get; init; }

    public string Current { get; init; } = "{0}_current_a";

    public double CurrentFactor { get; init; } = 1;

    /// <summary>two (IMU and ESC), wide (one file, empty cells), held (one file, last value repeated), long (ESC file with one row per
    /// motor).</summary>
    public string Layout { get; init; } = "two";

    /// <summary>Lines before the header.</summary>
    public IReadOnlyList<string> Preamble { get; init; } = [];

    /// <summary>Row of units below the header, IMU file only.</summary>
    public string? UnitsRow { get; init; }

    public bool QuoteHeaders { get; init; }

    public bool QuoteAll { get; init; }

    public string LineEnd { get; init; } = "\n";

    public bool TrailingSeparator { get; init; }

    /// <summary>Number of unrelated columns before and after the IMU's.</summary>
    public int Extras { get; init; }

    /// <summary>Number of rows after which the header is repeated; 0 for never.</summary>
    public int HeaderEvery { get; init; }

    /// <summary>utf-8, utf-8-bom, utf-16, utf-16be or latin1.</summary>
    public string Encoding { get; init; } = "utf-8";

    public bool Packed { get; init; }

    public bool CutLastLine { get; init; }

    /// <summary>Number of decimals of every number.</summary>
    public int Decimals { get; init; } = 5;
}
