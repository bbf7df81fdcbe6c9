using VibeCheck.Core.Airframes;
using VibeCheck.Core.Findings;
using VibeCheck.Core.Flights;
using VibeCheck.Core.Flights.Accounting;
using VibeCheck.Core.Orders.Group;
using VibeCheck.Core.Quality;
using VibeCheck.Core.Statistics;
using VibeCheck.Core.Surveys;
using VibeCheck.Core.Tracks;

namespace VibeCheck.Core.Comparisons;

/// <summary>Compares the flights before the work with those after it.</summary>
public static class JobComparison
{
    private const double LowestBandHz = 5;

    /// <summary>Share of the slower logger's rate up to which its filter is trusted.</summary>
    private const double BandShare = 0.4;

    /// <summary>Matches the hover of all flights, analyses each flight over it, and compares.</summary>
    /// <param name="input">The job with its flights read.</param>
    /// <param name="options">Thresholds of a change; null for the defaults.</param>
    /// <returns>The comparison. Flights that cannot be compared give <see cref="Verdict.NotComparable"/> with the reason.</returns>
    /// <exception cref="ArgumentException">There is no flight before, or none after.</exception>
    public static Comparison Run(JobFlights input, ComparisonOptions? options = null) => Run(input, options, FlightCheck.Of);

    /// <summary>The same with another source of a flight's analysis, such as one kept from an earlier comparison.</summary>
    internal static Comparison Run(
        JobFlights input,
        ComparisonOptions? options,
        Func<Flight, Airframe, AnalysisOptions, FlightAnalysis> analyse
    )
    {
        ArgumentNullException.ThrowIfNull(input);
        if (input.Before.Count == 0 || input.After.Count == 0)
        {
            throw new ArgumentException("must have a flight before and one after", nameof(input));
        }

        options ??= new();
        string[] names = [.. Enumerable.Range(0, input.Before.Count + input.After.Count).Select(i => NameOf(input, i))];
        IReadOnlyList<AnalysedFlight> all = Analyse(
            [.. input.Before, .. input.After],
            input.Airframe,
            options,
            names,
            analyse,
            out HoverBasis basis
        );
        FlightSet set = new([.. all.Take(input.Before.Count)], [.. all.Skip(input.Before.Count).Select(f => f with { IsAfter = true })]);
        return Of(input.Title, input.Airframe, input.Survey, set, basis, options);
    }

    /// <summary>Matches the hover of all flights and analyses each flight over it.</summary>
    internal static IReadOnlyList<AnalysedFlight> Analyse(
        Flight[] flights,
        Airframe airframe,
        ComparisonOptions options,
        string[] names,
        Func<Flight, Airframe, AnalysisOptions, FlightAnalysis> analyse,
        out HoverBasis basis
    )
    {
        flights = [.. flights.Select(f => TelemetryQuality.Checked(f, airframe))];
        IReadOnlyList<MatchedHover> hovers = HoverMatch.Of(flights, out basis);
        IReadOnlyList<GroupSpeedChoice?> group = GroupReading.Choose([.. flights.Select((f, i) => (f, hovers[i].Used.Segments))], airframe);
        HoverBasis by = basis;
        AnalysedFlight[] analysed = new AnalysedFlight[flights.Length];
        Parallel.For(
            0,
            flights.Length,
            i =>
            {
                AnalysisOptions own = OptionsOf(flights, hovers, hovers[i], airframe, options) with
                {
                    GroupSpeed = group[i],
                    AccountBandHz = VibrationAccounting.Band(RotorHz(hovers, by, group), flights.Min(f => f.Imu.RateHz)),
                };
                FlightAnalysis result = analyse(flights[i], airframe, own);
                analysed[i] = new(names[i], IsAfter: false, flights[i], hovers[i], result with { Hover = hovers[i].Used });
            }
        );
        return analysed;
    }

    /// <summary>Mean rotor frequency of all flights, Hz; null where none is known.</summary>
    private static double? RotorHz(IReadOnlyList<MatchedHover> hovers, HoverBasis basis, IReadOnlyList<GroupSpeedChoice?> group)
    {
        double[] known =
            basis == HoverBasis.Rpm
                ? [.. hovers.Select(h => h.Level / 60).OfType<double>()]
                : [.. group.OfType<GroupSpeedChoice>().Select(g => g.Hz).Where(double.IsFinite)];
        return known.Length == 0 ? null : known.Average();
    }

    internal static Comparison Of(
        string title,
        Airframe airframe,
        Survey? survey,
        FlightSet flights,
        HoverBasis basis,
        ComparisonOptions options
    )
    {
        IReadOnlyList<QualityIssue> issues = PairQuality.Of(
            [.. flights.Before.Select(f => (f.Flight, f.Analysis))],
            [.. flights.After.Select(f => (f.Flight, f.Analysis))]
        );
        flights = flights.With(issues);
        Conditions conditions = new(flights, survey, options, basis);
        double ratio = conditions.CorrectedRatio;
        Reason? not = conditions.WhyNotComparable;
        VibrationChanges vibration = new(flights, airframe, options, ratio == 1 ? 0 : -2 * FlightValue.Db(ratio), not);
        TemperatureChanges motors = new(flights, airframe, options, ratio, TemperatureChanges.Kind.Motor, issues),
            escs = new(flights, airframe, options, ratio, TemperatureChanges.Kind.Esc, issues);
        TemperatureChanges.CallTogether([motors, escs]);
        AccountChanges account = new(flights, vibration, options, ratio == 1 ? 0 : -2 * FlightValue.Db(ratio), not);
        LoadShareChanges shares = new(flights, airframe, options, not);
        JobChanges changes = new(flights, vibration, account, shares, motors, escs, conditions, options);
        VerdictRules rules = new(changes);
        YawTrimChange yaw = TiltEffects.YawTrim(flights, airframe, survey);
        TiltEffect effect = not is null ? TiltEffects.Effect(survey, vibration.Orders) : new(Estimate.Unknown(not), 0, TiltMethod.None);
        IReadOnlyList<Finding> findings = not is null ? TiltEffects.Unmoved(survey, vibration.Orders, options.MinChangeDb) : [];
        return new Comparison
        {
            Title = title,
            Airframe = airframe,
            Survey = survey,
            Verdict = rules.Verdict,
            Reasons = new VerdictReasons(changes, rules).Of(yaw, effect),
            NextSteps = new NextStepRules(changes, rules).Of(findings),
            Vibration = rules.Vibration,
            VibrationIsOfGroup = vibration.ByGroup,
            AllVibration = account.Total,
            Parts = account.Parts,
            MotorTemperature = rules.MotorTemperature,
            EscTemperature = rules.EscTemperature,
            Motors =
            [
                .. airframe.Motors.Select(m =>
                    MotorOf(m.Id, survey, flights, vibration, motors, escs, not, options.MinChangeC) with
                    {
                        LoadShare = shares.Of(m.Id),
                    }
                ),
            ],
            Levels = vibration.Levels,
            YawTrim = yaw,
            TiltEffect = effect,
            Conditions = conditions.All,
            Quality = issues,
            Before = [.. flights.Before.Select(f => f.Analysis)],
            After = [.. flights.After.Select(f => f.Analysis)],
            Timeline =
            [
                .. flights.All.Select(f => new FlightUse(
                    f.Name,
                    f.IsAfter,
                    new(f.Flight.Imu.StartS, f.Flight.Imu.EndS),
                    f.Hover.Found.Segments,
                    f.Hover.Used.Segments
                )),
            ],
            MotorSpread = motors.Spread(not),
            EscSpread = escs.Spread(not),
            Findings = findings,
            Options = options,
        };
    }

    private static string NameOf(JobFlights input, int index)
    {
        (string side, int number, int count) =
            index < input.Before.Count
                ? ("before", index + 1, input.Before.Count)
                : ("after", index - input.Before.Count + 1, input.After.Count);
        return count == 1 ? side : FormattableString.Invariant($"{side} {number}");
    }

    private static AnalysisOptions OptionsOf(
        Flight[] flights,
        IReadOnlyList<MatchedHover> hovers,
        MatchedHover own,
        Airframe airframe,
        ComparisonOptions options
    )
    {
        double slowest = flights.Min(f => f.Imu.RateHz),
            fastest = flights.Max(f => f.Imu.RateHz);
        AnalysisOptions usual = new()
        {
            HoverSegments = own.Used.Segments,
            Orders = options.Orders,
            Progress = options.Progress,
        };
        if (fastest / slowest < 1.02)
        {
            return usual;
        }

        // Different loggers: only the range of the slower one is used, for levels and for orders.
        double topHz = BandShare * slowest,
            rpm = hovers.Select(h => h.Level ?? 0).Max();
        int[] orders = options.Orders is { } given
            ? [.. given]
            : [.. airframe.Motors.SelectMany(m => new[] { 1, 2, 3, m.Blades, 2 * m.Blades }).Distinct().Order()];
        int[] within = rpm > 1 ? [.. orders.Where(k => k * rpm * 1.05 / 60 <= topHz)] : orders;
        return usual with { BandHz = new Interval(Math.Min(LowestBandHz, topHz / 2), topHz), Orders = within.Length > 0 ? within : [1] };
    }

    private static MotorComparison MotorOf(
        string id,
        Survey? survey,
        FlightSet flights,
        VibrationChanges vibration,
        TemperatureChanges motors,
        TemperatureChanges escs,
        Reason? notComparable,
        double minChangeC
    )
    {
        Estimate currentBefore = Mean(flights.Before, id, m => m.CurrentA),
            currentAfter = Mean(flights.After, id, m => m.CurrentA);
        Estimate rpmBefore = Mean(flights.Before, id, m => m.RpmMean),
            rpmAfter = Mean(flights.After, id, m => m.RpmMean);
        TemperatureChanges.Entry motor = motors.Units.First(u => u.Motor == id),
            esc = escs.Units.First(u => u.Motor == id);
        Estimate EqualLoad(TemperatureChanges.Entry unit) => notComparable is null ? unit.AtEqualLoad : Estimate.Unknown(notComparable);
        RiseCause Cause(TemperatureChanges.Entry unit) => notComparable is null ? unit.Cause(minChangeC) : RiseCause.NotAsked;
        return new MotorComparison
        {
            Id = id,
            TiltBefore = survey?.Found(id),
            TiltAfter = survey?.Left(id),
            RpmBefore = rpmBefore,
            RpmAfter = rpmAfter,
            Orders = vibration.Of(id),
            MotorTemp = motors.Of(id, notComparable),
            EscTemp = escs.Of(id, notComparable),
            LoadShareBefore = Mean(flights.Before, id, m => m.LoadShare),
            LoadShareAfter = Mean(flights.After, id, m => m.LoadShare),
            CurrentBeforeA = currentBefore,
            CurrentAfterA = currentAfter,
            LoadRatio = RiseCauses.LoadRatio(flights, id),
            MotorRiseAtEqualLoadC = EqualLoad(motor),
            EscRiseAtEqualLoadC = EqualLoad(esc),
            MotorRiseCause = Cause(motor),
            EscRiseCause = Cause(esc),
        };
    }

    private static Estimate Mean(IReadOnlyList<AnalysedFlight> side, string id, Func<MotorAnalysis, Estimate> of)
    {
        Estimate[] all = [.. side.Select(f => f.Motor(id) is MotorAnalysis m ? of(m) : Estimate.Unknown(new MotorNotInFlight(id, f.Name)))];
        Estimate[] known = [.. all.Where(e => e.IsKnown)];
        if (known.Length == 0)
        {
            return all[0];
        }

        double mean = known.Average(e => e.Value!.Value);
        return known.Any(e => e.Ci95 is null)
            ? Estimate.WithoutInterval(mean, known.First(e => e.Ci95 is null).Why ?? new NoIntervalKnown())
            : Estimate.Around(mean, Math.Sqrt(known.Sum(e => Math.Pow(e.Ci95!.Value.Width / 2, 2))) / known.Length);
    }
}
