namespace VibeCheck.Campaigns.Findings;

/// <summary>The size of a simulated fault.</summary>
internal enum FaultSize
{
    /// <summary>Barely visible: it may be missed.</summary>
    Barely,

    /// <summary>A size that a careful person notices.</summary>
    Middling,

    /// <summary>A size that nobody misses.</summary>
    Gross,
}

/// <summary>One trial: an aircraft, its day, and one known fault or none.</summary>
/// <param name="Code">Finding code of the fault; "healthy" for none.</param>
/// <param name="Size">Its size.</param>
/// <param name="Amount">Its amount, in the unit of <see cref="FaultRanges"/>.</param>
/// <param name="Motor">Index of the motor that has it, where it is one motor's.</param>
/// <param name="Aircraft">The aircraft.</param>
/// <param name="Seed">Seed of all that is random in the flight.</param>
internal sealed record FaultTrial(string Code, FaultSize Size, double Amount, int Motor, MadeAircraft Aircraft, int Seed)
{
    internal const string Healthy = "healthy";

    /// <summary>Makes a trial; the same numbers give the same trial.</summary>
    internal static FaultTrial Draw(string code, int number, int seed)
    {
        int own = unchecked((int)((seed * 1_000_003L + number * 7919L + Hash(code)) * 2654435761L));
        var random = new Random(own);
        MadeAircraft aircraft = MadeAircraft.Draw(random);
        FaultSize size = (FaultSize)(number % 3);
        double amount = code == Healthy ? 0 : FaultRanges.Of(code).Draw(size, random);
        return new(code, size, amount, random.Next(aircraft.Airframe.Motors.Count), aircraft, random.Next());
    }

    /// <summary>When the fault begins, s; 0 for one that is there from the start.</summary>
    internal double BeginsS { get; init; }

    internal bool Is(string code) => Code == code;

    internal string MotorId => Aircraft.Airframe.Motors[Motor].Id;

    // string.GetHashCode differs from run to run.
    private static int Hash(string text) => text.Aggregate(17, (h, c) => unchecked(h * 31 + c));
}

/// <summary>From which to which amount a fault is barely visible, middling and gross.</summary>
/// <param name="Code">Finding code.</param>
/// <param name="Unit">What the amount is.</param>
/// <param name="PerMotor">Whether it is a fault of one motor, which the finding must name.</param>
/// <param name="Edges">Least barely visible, least middling, least gross, most gross.</param>
internal sealed record FaultRanges(string Code, string Unit, bool PerMotor, double[] Edges)
{
    /// <summary>All faults. The sizes were set before the first run, by what a person at the aircraft would call barely visible, middling
    /// and gross, and never adapted to the tool's answers.</summary>
    internal static IReadOnlyList<FaultRanges> All { get; } =
    [
        new("order-1-stands-out", "times the usual unbalance", true, [1.6, 3.5, 7, 15]),
        new("blade-pass-stands-out", "times the usual blade pass", true, [1.6, 3.5, 7, 15]),
        new("looseness", "m/s² rms at half orders", true, [0.1, 0.4, 1.2, 4]),
        new("bearing-tone", "m/s² rms at a multiple that no blade makes", true, [0.1, 0.4, 1.2, 4]),
        new("steady-line", "m/s² rms", false, [0.1, 0.4, 1.2, 4]),
        new("broadband", "m/s² rms of wash and ringing", false, [1.2, 3, 6, 14]),
        new("resonance-near-order", "gain at the natural frequency", false, [2, 6, 12, 25]),
        new("soft-imu-mount", "natural frequency of the mount over that of the rotors", false, [0.55, 0.4, 0.3, 0.2]),
        new("hard-knocks", "m/s² peak", false, [3, 10, 30, 100]),
        new("yaw-trim", "split", false, [0.018, 0.035, 0.08, 0.14]),
        new("centre-of-gravity", "share of the arm", false, [0.04, 0.08, 0.15, 0.25]),
        new("carries-more", "share of thrust lost at equal speed", true, [0.05, 0.12, 0.2, 0.35]),
        new("hot-motor", "times the usual thermal resistance", true, [1.2, 1.6, 2.2, 3.5]),
        new("hot-esc", "times the usual thermal resistance", true, [1.2, 1.6, 2.2, 3.5]),
        new("draws-more", "times the usual power at equal speed", true, [1.08, 1.22, 1.4, 1.8]),
        new("at-full-command", "share of the hover at full command", true, [0.005, 0.04, 0.15, 0.6]),
        new("speed-drops", "depth, share of the speed", true, [0.05, 0.12, 0.3, 0.7]),
        new("clipping", "standard deviations of the vibration at which the range ends", false, [4, 2.6, 1.8, 1]),
        new("slow-logger", "samples for each blade pass of the fastest rotor", false, [2, 1.6, 1.2, 0.7]),
        new("filtered-log", "width of the notch, share of its frequency", false, [0.03, 0.08, 0.2, 0.5]),
        new("loose-telemetry", "share of readings zero, frozen or missing", true, [0.01, 0.06, 0.2, 0.45]),
        new("sagging-battery", "voltage lost under load, share", false, [0.06, 0.12, 0.18, 0.28]),
    ];

    internal static FaultRanges Of(string code) => All.First(r => r.Code == code);

    /// <summary>A random amount of a size, uniform in its logarithm.</summary>
    internal double Draw(FaultSize size, Random random)
    {
        double from = Edges[(int)size],
            to = Edges[(int)size + 1];
        return from * Math.Pow(to / from, random.NextDouble());
    }
}
