namespace VibeCheck.FlightMaker.Damage;

/// <summary>One column of a log before it is written: numbers in the unit of the file.</summary>
public sealed record LogColumn(string Header, LogRole Role, int Motor)
{
    /// <summary>Numbers as written; NaN is an empty cell.</summary>
    public required double[] Values { get; set; }

    /// <summary>Written number = factor × quantity + offset, the quantity in m/s², rad/s, s, rpm, share of full command, A or °C.</summary>
    public double Factor { get; init; } = 1;

    public double Offset { get; init; }

    /// <summary>Number of decimals written; trailing zeros are left out.</summary>
    public int Decimals { get; init; } = 3;

    /// <summary>Text of an empty cell.</summary>
    public string EmptyText { get; set; } = "";

    public bool IsAcceleration => Role is LogRole.AccX or LogRole.AccY or LogRole.AccZ;

    public bool IsRate => Role is LogRole.RateX or LogRole.RateY or LogRole.RateZ;

    public bool IsTemperature => Role is LogRole.MotorTemp or LogRole.EscTemp;

    /// <summary>Whether the column belongs to the telemetry of a motor.</summary>
    public bool IsTelemetry => Motor >= 0;

    /// <summary>The number written for a quantity.</summary>
    public double Written(double amount) => Factor * amount + Offset;

    /// <summary>The quantity of a written number.</summary>
    public double Amount(double written) => (written - Offset) / Factor;

    /// <summary>Mean of the numbers, without empty cells.</summary>
    public double Mean()
    {
        double sum = 0;
        int n = 0;
        foreach (double v in Values)
        {
            (sum, n) = double.IsNaN(v) ? (sum, n) : (sum + v, n + 1);
        }

        return sum / n;
    }

    /// <summary>Standard deviation of the numbers, without empty cells.</summary>
    public double Deviation()
    {
        double mean = Mean(),
            sum = 0;
        int n = 0;
        foreach (double v in Values)
        {
            (sum, n) = double.IsNaN(v) ? (sum, n) : (sum + (v - mean) * (v - mean), n + 1);
        }

        return Math.Sqrt(sum / n);
    }

    /// <summary>Replaces each number; empty cells stay empty.</summary>
    public void Map(Func<double, double> change) => Map((v, _) => change(v));

    /// <summary>Replaces each number, given with its row index; empty cells stay empty.</summary>
    public void Map(Func<double, int, double> change)
    {
        for (int i = 0; i < Values.Length; i++)
        {
            Values[i] = double.IsNaN(Values[i]) ? double.NaN : change(Values[i], i);
        }
    }
}
