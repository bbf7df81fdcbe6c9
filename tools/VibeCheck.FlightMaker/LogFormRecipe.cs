namespace VibeCheck.FlightMaker;

/// <summary>How a recorder writes its log: everything that may differ between recorders of the same flight.</summary>
public sealed record LogFormRecipe(string Name)
{
    public char Separator { get; init; } = ',';

    public bool DecimalComma { get; init; }

    /// <summary>s, ms, us, ns, iso or clock.</summary>
    public string Time { get; init; } = "s";

    /// <summary>Header of the time column; "" for the usual one of the unit.</summary>
    public string TimeHeader { get; init; } = "";

    /// <summary>First stamp, s: where the recorder's clock stands at take-off.</summary>
    public double ClockStartS { get; init; }

    /// <summary>Counter range in units of the stamp, after which it starts at zero again; 0 for none.</summary>
    public double WrapAt { get; init; }

    /// <summary>Standard deviation of the IMU's stamps, s.</summary>
    public double JitterS { get; init; }

    /// <summary>Headers of x, y, z acceleration.</summary>
    public IReadOnlyList<string> Acc { get; init; } = ["acc_x_mps2", "acc_y_mps2", "acc_z_mps2"];

    public double AccPerMps2 { get; init; } = 1;

    public IReadOnlyList<string> Rates { get; init; } = ["rate_x_radps", "rate_y_radps", "rate_z_radps"];

    public double RatePerRadps { get; init; } = 1;

    /// <summary>Headers of a motor's columns, {0} its id, {1} its number from 1, {2} its number from 0.</summary>
    public string Rpm { get; init; } = "{0}_rpm";

    /// <summary>Logged speed per rpm; negative for electrical speed, times pole pairs.</summary>
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

    /// <summary>two (IMU and ESC), wide (one file, empty cells), held (one file, last value repeated), long (ESC a row a motor).</summary>
    public string Layout { get; init; } = "two";

    /// <summary>Lines before the header.</summary>
    public IReadOnlyList<string> Preamble { get; init; } = [];

    /// <summary>Units row below the header, IMU file only.</summary>
    public string? UnitsRow { get; init; }

    public bool QuoteHeaders { get; init; }

    public bool QuoteAll { get; init; }

    public string LineEnd { get; init; } = "\n";

    public bool TrailingSeparator { get; init; }

    /// <summary>Columns of no interest before and after the IMU's.</summary>
    public int Extras { get; init; }

    /// <summary>The header comes again every so many rows; 0 for never.</summary>
    public int HeaderEvery { get; init; }

    /// <summary>utf-8, utf-8-bom, utf-16, utf-16be or latin1.</summary>
    public string Encoding { get; init; } = "utf-8";

    public bool Packed { get; init; }

    public bool CutLastLine { get; init; }

    /// <summary>Decimals of every number.</summary>
    public int Decimals { get; init; } = 5;
}
