using System.Globalization;
using VibeCheck.Core.Airframes;
using VibeCheck.Core.Surveys;
using VibeCheck.Logs.Surveys;

namespace VibeCheck.Logs.Sheets;

/// <summary>The result of the entries of a bench sheet: the valid readings, and the ticked boxes.</summary>
public sealed class SheetLedger
{
    private readonly Dictionary<(string? Motor, SheetBox Box), bool> _ticks = [];
    private readonly Dictionary<string, string?> _fitted = [];

    /// <summary>Combines entries.</summary>
    /// <param name="entries">Entries in any order; an entry that occurs twice counts once.</param>
    public SheetLedger(IEnumerable<SheetEntry> entries)
    {
        SheetEntry[] each = [.. entries.DistinctBy(e => e.Id).OrderBy(e => e.At)];
        HashSet<Guid> withdrawn = [.. each.OfType<WithdrawalEntry>().Select(w => w.Of)];
        Readings = [.. each.OfType<ReadingEntry>().Where(r => !withdrawn.Contains(r.Id))];
        foreach (TickEntry tick in each.OfType<TickEntry>())
        {
            _ticks[(tick.Motor, tick.Box)] = tick.Ticked;
        }

        foreach (FittedEntry fitted in each.OfType<FittedEntry>())
        {
            _fitted[fitted.Motor] = fitted.Shims;
        }
    }

    /// <summary>Readings that were not withdrawn, in the order in which they were taken.</summary>
    public IReadOnlyList<ReadingEntry> Readings { get; }

    /// <summary>Whether a box is ticked.</summary>
    public bool IsTicked(string? motor, SheetBox box) => _ticks.GetValueOrDefault((motor, box));

    /// <summary>The shims that were entered for a motor, as in the column <c>shims</c> of survey.csv; null for those of the plan.</summary>
    public string? FittedAt(string motor) => _fitted.GetValueOrDefault(motor);

    /// <summary>The readings that fit the airframe, in the form of the survey code.</summary>
    public IReadOnlyList<GaugeReading> ReadingsOf(Airframe airframe) =>
        [.. Readings.Select(r => ToReading(r, airframe).Reading).OfType<GaugeReading>()];

    /// <summary>The readings that fit the airframe as the text of survey.csv; empty where there are none.</summary>
    public string SurveyText(Airframe airframe)
    {
        IReadOnlyList<GaugeReading> readings = ReadingsOf(airframe);
        string start = readings.Any(r => r.Fitted is not null) ? SurveyFile.HeaderWithShims + "\n" : "";
        return readings.Count == 0 ? "" : readings.Aggregate(start, SurveyFile.WithReading);
    }

    /// <summary>One entry in the form of the survey code.</summary>
    /// <param name="entry">The entry.</param>
    /// <param name="airframe">The airframe that was surveyed.</param>
    /// <returns>The reading, or null with the problem as a plain sentence.</returns>
    public static (GaugeReading? Reading, string? Problem) ToReading(ReadingEntry entry, Airframe airframe)
    {
        ArgumentNullException.ThrowIfNull(entry);
        ArgumentNullException.ThrowIfNull(airframe);
        Motor? motor = entry.Motor is null ? null : airframe.Find(entry.Motor);
        if (Problem(entry, motor) is string problem)
        {
            return (null, problem);
        }

        (FittedShims? fitted, string? wrong) =
            entry.Shims is string text && motor is not null ? FittedShims.Read(motor.Id, text, airframe.BoltsOf(motor)) : (null, null);
        return wrong is not null
            ? (null, $"The shims of {motor!.Id} cannot be read: {wrong}.")
            : (
                new()
                {
                    MotorId = motor?.Id,
                    When = entry.When,
                    Where = entry.Where,
                    Direction = entry.Direction,
                    LowDeg = entry.LowDeg,
                    HighDeg = entry.HighDeg,
                    LowSide = entry.LowSide,
                    Turned = entry.Turned,
                    Knock = entry.Knock ? Knock.After : Knock.Before,
                    Note = entry.Note,
                    Fitted = fitted,
                },
                null
            );
    }

    private static string? Problem(ReadingEntry r, Motor? motor)
    {
        bool isAcross = r.LowSide is LowSide.Right or LowSide.Left;
        return r.Motor is not null && motor is null ? $"The airframe has no motor {r.Motor}."
            : r.Motor is null && r.Where == GaugePlace.Mount ? "A mount reading needs a motor."
            : !(r.LowDeg >= 0 && r.HighDeg >= r.LowDeg && r.HighDeg <= SurveyFile.LargestDeg)
                ? string.Create(
                    CultureInfo.InvariantCulture,
                    $"An angle of {r.LowDeg}° to {r.HighDeg}° is not between 0 and {SurveyFile.LargestDeg}°."
                )
            : r.LowSide == LowSide.Level
                ? r.HighDeg > 0 ? "A reading above 0° has a low side."
                    : null
            : isAcross != (r.Direction == TiltDirection.Across) ? "The low side does not lie in the direction of the gauge."
            : null;
    }
}
