using VibeCheck.Core.Airframes;
using VibeCheck.Core.Findings;
using VibeCheck.Core.Flights;
using VibeCheck.Core.Statistics;
using VibeCheck.Core.Surveys;
using VibeCheck.Core.Tracks;

namespace VibeCheck.Core.Comparisons;

/// <summary>A stage in the history of an airframe, with its flights loaded.</summary>
/// <param name="Name">The work that was done, such as "as built" or "shims on M1, M3".</param>
/// <param name="Date">Day of the work.</param>
/// <param name="Flights">Flights of the stage, one or more.</param>
public sealed record StageFlights(string Name, DateOnly Date, IReadOnlyList<Flight> Flights);

/// <summary>The history of an airframe, with its flights loaded.</summary>
/// <param name="Title">Title of the job.</param>
/// <param name="Airframe">The airframe of all flights.</param>
/// <param name="Survey">The survey, only for the last step, between the last two stages; null without one.</param>
/// <param name="Stages">Two or more stages in the order of their work.</param>
public sealed record HistoryFlights(string Title, Airframe Airframe, Survey? Survey, IReadOnlyList<StageFlights> Stages);

/// <summary>One stage and the results measured after it.</summary>
public sealed record HistoryStage
{
    /// <summary>The work that was done.</summary>
    public required string Name { get; init; }

    /// <summary>Day of the work.</summary>
    public required DateOnly Date { get; init; }

    /// <summary>Rms of all rotor orders of all motors, m/s².</summary>
    public required Estimate VibrationMps2 { get; init; }

    /// <summary>Hottest motor's steady rise, °C.</summary>
    public required Estimate HottestMotorC { get; init; }

    /// <summary>Hottest ESC's steady rise, °C.</summary>
    public required Estimate HottestEscC { get; init; }

    /// <summary>Hottest minus coolest motor, °C.</summary>
    public required Estimate MotorSpreadC { get; init; }

    /// <summary>Yaw trim split.</summary>
    public required Estimate Split { get; init; }

    /// <summary>This stage compared with the previous one; null for the first.</summary>
    public Comparison? Step { get; init; }

    /// <summary>Its flights, analysed over the hover that all flights of the history share.</summary>
    public required IReadOnlyList<FlightAnalysis> Flights { get; init; }
}

/// <summary>The history of an airframe: each metric by stage, and a call for each step.</summary>
/// <param name="Title">Title of the job.</param>
/// <param name="Airframe">The airframe.</param>
/// <param name="Stages">Stages in order.</param>
/// <param name="Whole">The last stage compared with the first.</param>
public sealed record History(string Title, Airframe Airframe, IReadOnlyList<HistoryStage> Stages, Comparison Whole);

/// <summary>Calculates a history.</summary>
public static class JobHistory
{
    /// <summary>Matches the hover of all flights of all stages, analyses each flight once, and compares each stage with the previous one
    /// and the last with the first.</summary>
    /// <param name="input">The flights, loaded.</param>
    /// <param name="options">Thresholds of a change; null for the defaults.</param>
    /// <exception cref="ArgumentException">Fewer than two stages, or a stage without flights.</exception>
    public static History Run(HistoryFlights input, ComparisonOptions? options = null)
    {
        ArgumentNullException.ThrowIfNull(input);
        if (input.Stages.Count < 2 || input.Stages.Any(s => s.Flights.Count == 0))
        {
            throw new ArgumentException("must have two or more stages, each with a flight", nameof(input));
        }

        options ??= new();
        IReadOnlyList<AnalysedFlight> all = JobComparison.Analyse(
            [.. input.Stages.SelectMany(s => s.Flights)],
            input.Airframe,
            options,
            Names(input),
            FlightCheck.Of,
            out HoverBasis basis
        );
        AnalysedFlight[][] stages = PerStage(input, all);
        Comparison Compare(int from, int to) =>
            JobComparison.Of(
                $"{input.Stages[from].Name}, then {input.Stages[to].Name}",
                input.Airframe,
                to == stages.Length - 1 && from == to - 1 ? input.Survey : null,
                new FlightSet(stages[from], [.. stages[to].Select(f => f with { IsAfter = true })]),
                basis,
                options
            );
        Comparison[] steps = [.. Enumerable.Range(1, stages.Length - 1).Select(i => Compare(i - 1, i))];
        return new History(
            input.Title,
            input.Airframe,
            [.. input.Stages.Select((s, i) => StageOf(s, i == 0 ? null : steps[i - 1], i == 0 ? steps[0] : steps[i - 1], i > 0))],
            steps.Length == 1 ? steps[0] : Compare(0, stages.Length - 1)
        );
    }

    private static string[] Names(HistoryFlights input) =>
        [
            .. input.Stages.SelectMany(s =>
                s.Flights.Select((_, i) => s.Flights.Count == 1 ? $"of '{s.Name}'" : FormattableString.Invariant($"{i + 1} of '{s.Name}'"))
            ),
        ];

    private static AnalysedFlight[][] PerStage(HistoryFlights input, IReadOnlyList<AnalysedFlight> all)
    {
        var stages = new AnalysedFlight[input.Stages.Count][];
        int next = 0;
        for (int i = 0; i < stages.Length; i++)
        {
            stages[i] = [.. all.Skip(next).Take(input.Stages[i].Flights.Count)];
            next += stages[i].Length;
        }

        return stages;
    }

    /// <param name="stage">The stage.</param>
    /// <param name="step">Its comparison with the previous stage; null for the first.</param>
    /// <param name="from">A comparison in which the stage is one side.</param>
    /// <param name="isAfter">Whether it is the side after.</param>
    private static HistoryStage StageOf(StageFlights stage, Comparison? step, Comparison from, bool isAfter) =>
        new()
        {
            Name = stage.Name,
            Date = stage.Date,
            VibrationMps2 = Side(from.Vibration, isAfter),
            HottestMotorC = Side(from.MotorTemperature, isAfter),
            HottestEscC = Side(from.EscTemperature, isAfter),
            MotorSpreadC = (isAfter ? from.MotorSpread?.AfterC : from.MotorSpread?.BeforeC) ?? Estimate.Unknown(new NotMeasured()),
            Split = isAfter ? from.YawTrim.After : from.YawTrim.Before,
            Step = step,
            Flights = isAfter ? from.After : from.Before,
        };

    private static Estimate Side(Call call, bool isAfter) =>
        (isAfter ? call.After : call.Before) is not double value ? Estimate.Unknown(call.Why)
        : (isAfter ? call.AfterCi95 : call.BeforeCi95) is Interval ci ? Estimate.Of(value, ci)
        : Estimate.WithoutInterval(value, new OtherSideUnknown());
}
