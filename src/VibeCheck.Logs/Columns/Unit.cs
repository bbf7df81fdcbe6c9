namespace VibeCheck.Logs.Columns;

/// <summary>The kinds of unit that a column can have.</summary>
internal enum UnitKind
{
    Time,
    Acceleration,
    AngularRate,
    RotorSpeed,
    Share,
    PulseWidth,
    Temperature,
    Current,
    Voltage,
    Length,
    Counts,
}

/// <summary>A unit with its conversion to the tool's own unit: value × <paramref name="Factor"/> + <paramref name="Offset"/>.</summary>
/// <param name="Symbol">As shown to people.</param>
/// <param name="Kind">What it measures.</param>
/// <param name="Factor">To s, m/s², rad/s, rpm, 0..1, °C, A, V or m.</param>
/// <param name="Offset">Added after the factor.</param>
internal sealed record Unit(string Symbol, UnitKind Kind, double Factor, double Offset = 0)
{
    /// <summary>Electrical speed: it still has to be divided by the number of pole pairs.</summary>
    internal bool IsElectrical { get; init; }

    internal double ToTool(double raw) => raw * Factor + Offset;
}
