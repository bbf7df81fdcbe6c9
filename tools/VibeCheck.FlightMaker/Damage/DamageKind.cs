namespace VibeCheck.FlightMaker.Damage;

/// <summary>The main answers of a comparison.</summary>
[Flags]
public enum Answers
{
    None = 0,
    Vibration = 1,
    MotorTemperature = 2,
    EscTemperature = 4,
    Temperatures = MotorTemperature | EscTemperature,
    All = Vibration | Temperatures,
}

/// <summary>Strength of a damage.</summary>
/// <param name="Value">The number passed to the damage.</param>
/// <param name="Label">The number with its unit.</param>
/// <param name="Hidden">Why the data cannot show the damage at this strength; null where they can.</param>
public sealed record Severity(double Value, string Label, string? Hidden = null);

/// <summary>One kind of damage to one flight of a job.</summary>
/// <param name="Name">Short description of the damage.</param>
/// <param name="Touches">Answers that the damage may change; the others should stay the same.</param>
/// <param name="Severities">Strengths to try, weakest first.</param>
/// <param name="Apply">Applies the damage.</param>
public sealed record DamageKind(string Name, Answers Touches, IReadOnlyList<Severity> Severities, Action<DamageScene> Apply)
{
    /// <summary>Subject: the folder of the list that holds the kind.</summary>
    public string Subject { get; init; } = "";

    /// <summary>Whether the kind needs an IMU file and an ESC file.</summary>
    public bool NeedsTwoFiles { get; init; }

    /// <summary>Makes a kind with a single strength.</summary>
    internal static DamageKind Of(string name, Answers touches, Action<DamageScene> apply) => new(name, touches, [new(1, "-")], apply);

    /// <summary>Makes a kind with several strengths in one unit.</summary>
    internal static DamageKind Of(string name, Answers touches, string unit, double[] values, Action<DamageScene> apply) =>
        new(name, touches, [.. values.Select(v => new Severity(v, Label(v, unit)))], apply);

    /// <summary>The same kind, marked as not detectable from the data at the given strengths.</summary>
    internal DamageKind Hide(string why, Func<double, bool>? at = null) =>
        this with
        {
            Severities = [.. Severities.Select(s => at is null || at(s.Value) ? s with { Hidden = why } : s)],
        };

    internal DamageKind TwoFiles() => this with { NeedsTwoFiles = true };

    private static string Label(double value, string unit) =>
        string.Create(System.Globalization.CultureInfo.InvariantCulture, $"{value:0.####}{(unit.Length > 0 ? " " : "")}{unit}");
}
