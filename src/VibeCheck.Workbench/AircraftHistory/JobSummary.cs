using VibeCheck.Core.Comparisons;
using VibeCheck.Core.Statistics;
using VibeCheck.Core.Surveys;

namespace VibeCheck.Workbench.AircraftHistory;

/// <summary>One motor on one side of a job.</summary>
/// <param name="Order1Mps2">Vibration once per turn, m/s².</param>
/// <param name="MotorRiseC">Steady rise of the motor, °C.</param>
/// <param name="EscRiseC">Steady rise of its ESC, °C.</param>
internal sealed record MotorPoint(Estimate Order1Mps2, Estimate MotorRiseC, Estimate EscRiseC);

/// <summary>The flights before, or after, the work of one job.</summary>
/// <param name="Day">Day of the first of them.</param>
/// <param name="DayIsOfFile">Whether the log gives no date, and the day is that of its file.</param>
/// <param name="IsAfter">Whether they are those after the work.</param>
/// <param name="Motors">What was measured, by motor.</param>
internal sealed record JobSide(DateTime Day, bool DayIsOfFile, bool IsAfter, IReadOnlyDictionary<string, MotorPoint> Motors);

/// <summary>A job of the aircraft: what is kept of it for the time line.</summary>
internal sealed record JobSummary
{
    /// <summary>Its folder, from the one on the desk.</summary>
    public required string Folder { get; init; }

    /// <summary>Its title.</summary>
    public required string Title { get; init; }

    /// <summary>The verdict; null where there is none yet.</summary>
    public Verdict? Verdict { get; init; }

    /// <summary>Why there is no verdict; null where there is one.</summary>
    public string? Missing { get; init; }

    /// <summary>Flights before, then after; empty without a verdict.</summary>
    public IReadOnlyList<JobSide> Sides { get; init; } = [];

    /// <summary>Change once per turn by motor, dB, from before to after.</summary>
    public IReadOnlyDictionary<string, Estimate> ChangeDb { get; init; } = new Dictionary<string, Estimate>();

    /// <summary>Shims that the survey notes as lying under a motor after the work.</summary>
    public IReadOnlyDictionary<string, FittedShims> Fitted { get; init; } = new Dictionary<string, FittedShims>();

    /// <summary>When the job was worked on: its flights after, else its survey or its file.</summary>
    public required DateTime Day { get; init; }

    /// <summary>What a comparison says for the time line.</summary>
    internal static (IReadOnlyList<JobSide> Sides, IReadOnlyDictionary<string, Estimate> ChangeDb) Of(
        Comparison comparison,
        Func<bool, DateTime> dayOfFile
    )
    {
        JobSide Side(bool isAfter)
        {
            DateTime? started = (isAfter ? comparison.After : comparison.Before)[0].Input.StartedUtc;
            return new(
                started ?? dayOfFile(isAfter),
                started is null,
                isAfter,
                comparison.Motors.ToDictionary(
                    m => m.Id,
                    m => new MotorPoint(
                        First(m) is OrderChange one ? (isAfter ? one.AfterMps2 : one.BeforeMps2) : Estimate.Unknown(new NotMeasured()),
                        Rise(m.MotorTemp, isAfter),
                        Rise(m.EscTemp, isAfter)
                    )
                )
            );
        }

        return (
            [Side(false), Side(true)],
            comparison.Motors.Where(m => First(m) is not null).ToDictionary(m => m.Id, m => First(m)!.ChangeDb)
        );
    }

    private static OrderChange? First(MotorComparison motor) => motor.Orders.FirstOrDefault(o => o.Order == 1);

    private static Estimate Rise(Call call, bool isAfter) =>
        (isAfter ? call.After : call.Before) is not double c ? Estimate.Unknown(call.Why)
        : (isAfter ? call.AfterCi95 : call.BeforeCi95) is Interval ci ? Estimate.Of(c, ci)
        : Estimate.WithoutInterval(c, new NotMeasured());
}
