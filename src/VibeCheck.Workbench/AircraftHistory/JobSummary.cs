using VibeCheck.Core.Comparisons;
using VibeCheck.Core.Findings;
using VibeCheck.Core.Flights;
using VibeCheck.Core.Statistics;
using VibeCheck.Core.Surveys;

namespace VibeCheck.Workbench.AircraftHistory;

/// <summary>One motor on one side of a job.</summary>
/// <param name="Order1Mps2">Vibration once per turn, m/s².</param>
/// <param name="MotorRiseC">Steady rise of the motor, °C.</param>
/// <param name="EscRiseC">Steady rise of its ESC, °C.</param>
internal sealed record MotorPoint(Estimate Order1Mps2, Estimate MotorRiseC, Estimate EscRiseC);

/// <summary>The flights of a job before or after the work; of a job with stages, those of one stage.</summary>
/// <param name="Day">Day of the first of them; of a stage, the day of its work.</param>
/// <param name="DayIsOfFile">Whether the day is that of the file, because the log gives no date.</param>
/// <param name="Motors">What was measured, by motor.</param>
/// <param name="ChangeDb">Change of order 1 by the work before these flights, by motor, dB; empty for the first flights of a job.</param>
internal sealed record JobSide(
    DateTime Day,
    bool DayIsOfFile,
    IReadOnlyDictionary<string, MotorPoint> Motors,
    IReadOnlyDictionary<string, Estimate> ChangeDb
)
{
    /// <summary>The flights, for the scale of the aircraft.</summary>
    public IReadOnlyList<FlownFlight> Flights { get; init; } = [];
}

/// <summary>What is kept of one flight for the scale.</summary>
/// <param name="StartedUtc">When it began; null where its log gives no date.</param>
/// <param name="Values">Its quantities on the scale.</param>
internal sealed record FlownFlight(DateTime? StartedUtc, IReadOnlyDictionary<ScaleQuantity, double> Values)
{
    internal static IReadOnlyList<FlownFlight> Of(IEnumerable<FlightAnalysis> flights) =>
        [.. flights.Select(f => new FlownFlight(f.Input.StartedUtc, FlightScale.ValuesOf(f)))];
}

/// <summary>What is kept of a job of the aircraft for its history.</summary>
internal sealed record JobSummary
{
    /// <summary>Its folder, relative to the one on the desk.</summary>
    public required string Folder { get; init; }

    /// <summary>Its title.</summary>
    public required string Title { get; init; }

    /// <summary>The verdict; null where there is none yet.</summary>
    public Verdict? Verdict { get; init; }

    /// <summary>Why there is no verdict; null where there is one.</summary>
    public string? Missing { get; init; }

    /// <summary>Flights before, then after; of a job with stages, stage by stage. Empty without a verdict.</summary>
    public IReadOnlyList<JobSide> Sides { get; init; } = [];

    /// <summary>Shims that the survey notes under each motor after the work.</summary>
    public IReadOnlyDictionary<string, FittedShims> Fitted { get; init; } = new Dictionary<string, FittedShims>();

    /// <summary>When the job was worked on: its flights after, else its survey or its file.</summary>
    public required DateTime Day { get; init; }

    /// <summary>The two sides of a comparison.</summary>
    internal static IReadOnlyList<JobSide> Of(Comparison comparison, Func<bool, DateTime> dayOfFile)
    {
        JobSide Side(bool isAfter)
        {
            DateTime? started = (isAfter ? comparison.After : comparison.Before)[0].Input.StartedUtc;
            return SideOf(comparison, isAfter, started ?? dayOfFile(isAfter), started is null) with
            {
                Flights = FlownFlight.Of(isAfter ? comparison.After : comparison.Before),
            };
        }

        return [Side(false), Side(true)];
    }

    /// <summary>The stages of a history.</summary>
    internal static IReadOnlyList<JobSide> Of(History history) =>
        [
            .. history.Stages.Select(
                (stage, i) =>
                    SideOf(
                        stage.Step ?? history.Stages[i + 1].Step!,
                        stage.Step is not null,
                        stage.Date.ToDateTime(TimeOnly.MinValue),
                        false
                    ) with
                    {
                        Flights = FlownFlight.Of(stage.Flights),
                    }
            ),
        ];

    private static JobSide SideOf(Comparison comparison, bool isAfter, DateTime day, bool dayIsOfFile) =>
        new(
            day,
            dayIsOfFile,
            comparison.Motors.ToDictionary(
                m => m.Id,
                m => new MotorPoint(
                    First(m) is OrderChange one ? (isAfter ? one.AfterMps2 : one.BeforeMps2) : Estimate.Unknown(new NotMeasured()),
                    Rise(m.MotorTemp, isAfter),
                    Rise(m.EscTemp, isAfter)
                )
            ),
            isAfter
                ? comparison.Motors.Where(m => First(m) is not null).ToDictionary(m => m.Id, m => First(m)!.ChangeDb)
                : new Dictionary<string, Estimate>()
        );

    private static OrderChange? First(MotorComparison motor) => motor.Orders.FirstOrDefault(o => o.Order == 1);

    private static Estimate Rise(Call call, bool isAfter) =>
        (isAfter ? call.After : call.Before) is not double c ? Estimate.Unknown(call.Why)
        : (isAfter ? call.AfterCi95 : call.BeforeCi95) is Interval ci ? Estimate.Of(c, ci)
        : Estimate.WithoutInterval(c, new NotMeasured());
}
