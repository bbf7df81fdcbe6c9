using System.Globalization;
using VibeCheck.Core.Statistics;
using VibeCheck.Core.Surveys;
using VibeCheck.Core.Tracks;

namespace VibeCheck.Core.Comparisons;

/// <summary>What must be alike for a comparison, looked at flight by flight.</summary>
internal sealed class Conditions
{
    private const double GravityMps2 = 9.80665;
    private const double TiltLimitDeg = 5;
    private const double ShortLimitS = 8;
    private const double GroupSpeedDoubt = 0.03;

    /// <summary>Commands lean on battery and tuning, so only a gross difference speaks of another aircraft.</summary>
    private const double CommandLimit = 0.3;

    private readonly FlightSet _flights;
    private readonly ComparisonOptions _options;
    private readonly HoverBasis _basis;
    private readonly List<Condition> _all = [];
    private readonly List<Reason> _obstacles = [];

    internal Conditions(FlightSet flights, Survey? survey, ComparisonOptions options, HoverBasis basis)
    {
        (_flights, _options, _basis) = (flights, options, basis);
        (double? before, double? after) = (Mean(flights.Before, f => f.Hover.Level), Mean(flights.After, f => f.Hover.Level));
        LevelRatio = before is double b && after is double a && b > 0 ? a / b : 1;
        Dates();
        Hover();
        Speed(before, after);
        Telemetry();
        FoundSpeeds();
        Motors();
        Ambient();
        Rates();
        Attitude();
        Battery();
        SurveyBetween(survey);
    }

    internal IReadOnlyList<Condition> All => _all;

    /// <summary>What makes the flights impossible to hold against each other; empty when nothing does.</summary>
    internal IReadOnlyList<Reason> Obstacles => _obstacles;

    /// <summary>The first obstacle; null when there is none.</summary>
    internal Reason? WhyNotComparable => _obstacles.Count > 0 ? new FlightsNotComparable(_obstacles[0]) : null;

    /// <summary>Mean hover speed (or command) after over before; 1 when unknown.</summary>
    internal double LevelRatio { get; }

    /// <summary>The ratio that changes are corrected for; 1 where speeds are not known. Even 1 % of speed is 3 % of a rise, 1 °C of 35 °C.</summary>
    internal double CorrectedRatio => _basis == HoverBasis.Rpm ? LevelRatio : 1;

    /// <summary>Which speeds are not logged but found, as a sentence; null when all are logged or unknown.</summary>
    internal string? SpeedsFound { get; private set; }

    /// <summary>Whether flights given as after were flown before those given as before.</summary>
    internal bool DatesSwapped { get; private set; }

    private void Dates()
    {
        DateTime?[] before = [.. _flights.Before.Select(f => f.Flight.Input.StartedUtc)], after = [.. _flights.After.Select(f => f.Flight.Input.StartedUtc)];
        if (before.Concat(after).Any(d => d is null))
        {
            _all.Add(new("dates", Day(before), Day(after), null, "The logs do not all say when they were flown: the order is as the job file gives it."));
            return;
        }

        DatesSwapped = before.Max() > after.Min();
        _all.Add(new("dates", Day(before), Day(after), !DatesSwapped, DatesSwapped
            ? "By the logs' own clocks a flight given as before was flown after one given as after. Were they swapped in the job file?"
            : "The flights before come before those after by the logs' own clocks."));
        if (DatesSwapped && !_options.IgnoreDates)
        {
            _obstacles.Add(new StagesOutOfOrder(before.Max()!.Value, after.Min()!.Value));
        }
    }

    private static string? Day(DateTime?[] dates)
    {
        string[] known = [.. dates.OfType<DateTime>().Order().Select(d => d.ToString("yyyy-MM-dd HH:mm", CultureInfo.InvariantCulture))];
        return known.Length == 0 ? null : known.Length == 1 ? known[0] : $"{known[0]} to {known[^1]}";
    }

    private void Hover()
    {
        AnalysedFlight[] without = [.. _flights.All.Where(f => f.Hover.Used.Segments.Count == 0)];
        double least = _flights.All.Min(f => f.Hover.Used.SecondsUsed);
        string why = without.Length > 0 ? $"No hover was found in flight {Wording.List([.. without.Select(f => f.Name)])}."
            : least < _options.ShortHoverS ? FormattableString.Invariant($"The shortest hover lasts {least:0} s: intervals are wide, and temperatures may not be known.")
            : "Long enough on both sides.";
        _all.Add(new("hover time", Seconds(_flights.Before), Seconds(_flights.After), without.Length == 0 && least >= ShortLimitS, why));
        if (without.Length > 0)
        {
            _obstacles.Add($"no hover was found in flight {Wording.List([.. without.Select(f => f.Name)])}");
        }
    }

    private static string Seconds(IReadOnlyList<AnalysedFlight> side) =>
        string.Join(", ", side.Select(f => string.Create(CultureInfo.InvariantCulture,
            $"{f.Hover.Used.SecondsUsed:0} s ({(f.Hover.Found.SecondsUsed > 0 ? 100 * f.Hover.Used.SecondsUsed / f.Hover.Found.SecondsUsed : 0):0} % of the hover found)")));

    /// <summary>Whether the rotors are known as a group in all flights, for want of speeds in some.</summary>
    private bool GroupIsKnown => _flights.All.All(f => f.Analysis.Group?.TotalMps2.IsKnown == true);

    /// <summary>The rotors' speed as the vibration tells it: known to some 1.5 % on each side.</summary>
    private void GroupSpeed()
    {
        double before = _flights.Before.Average(f => 60 * f.Analysis.Group!.BaseHz!.Value), after = _flights.After.Average(f => 60 * f.Analysis.Group!.BaseHz!.Value);
        double off = Math.Abs(after / before - 1);
        bool tooFar = off > _options.SpeedLimit + GroupSpeedDoubt;
        _all.Add(new("rotor speed from the vibration", FormattableString.Invariant($"about {before:0} rpm"), FormattableString.Invariant($"about {after:0} rpm"), !tooFar,
            tooFar ? $"They differ by {Wording.Percent(off)}: another mass, other propellers, or not the same flying."
            : "Alike as far as the vibration tells it; where they differ by more than 2 %, levels are corrected with the square of speed."));
        if (tooFar)
        {
            _obstacles.Add(FormattableString.Invariant(
                $"by the vibration the rotors hovered at about {before:0} rpm before and {after:0} rpm after, {Wording.Percent(off)} apart: the mass or the propellers were not the same"));
        }
    }

    private void Speed(double? before, double? after)
    {
        if (_basis != HoverBasis.Rpm && GroupIsKnown)
        {
            GroupSpeed();
        }

        if (_basis == HoverBasis.None || before is null || after is null)
        {
            if (GroupIsKnown)
            {
                return;
            }

            _all.Add(new("hover speed", null, null, null, "No rotor speed or command is known in all flights, so the operating point could not be matched."));
            return;
        }

        bool rpm = _basis == HoverBasis.Rpm;
        string Text(double level) => rpm ? FormattableString.Invariant($"{level:0} rpm") : FormattableString.Invariant($"{100 * level:0.0} % command");
        double off = Math.Abs(LevelRatio - 1);
        bool tooFar = off > (rpm ? _options.SpeedLimit : CommandLimit);
        string why = tooFar ? $"They differ by {Wording.Percent(off)}: another mass, other propellers, or not the same flying."
            : !rpm ? "Commands lean on the battery too; nothing was corrected."
            : off > _options.SpeedMatch ? $"They differ by {Wording.Percent(off)}: orders are corrected with the square of speed, rises with its third power (its second as far as the air explains it), and the doubt about these powers is added."
            : $"Alike within {Wording.Percent(_options.SpeedMatch, "0.#")}; what is left is corrected with the square (orders) and the third power (rises) of speed.";
        _all.Add(new(rpm ? "hover speed" : "hover command", Text(before.Value), Text(after.Value), !tooFar, why));
        if (tooFar)
        {
            _obstacles.Add(rpm
                ? FormattableString.Invariant($"the rotors hovered at {before:0} rpm before and {after:0} rpm after, {Wording.Percent(off)} apart: the mass or the propellers were not the same")
                : FormattableString.Invariant($"the motors hovered at {100 * before:0} % command before and {100 * after:0} % after: not the same aircraft or mass"));
        }
    }

    private void Telemetry()
    {
        string[] silent = [.. _flights.All.Where(f => !f.HasTelemetry).Select(f => f.Name)];
        bool all = silent.Length == _flights.Before.Count + _flights.After.Count;
        _all.Add(new("ESC telemetry", Channels(_flights.Before), Channels(_flights.After), silent.Length == 0 && Channels(_flights.Before) == Channels(_flights.After),
            all && GroupIsKnown ? "No flight has ESC telemetry: the rotors are measured together, motors and temperatures are not known."
            : all ? "No flight has ESC telemetry: rotor orders and temperatures are not known."
            : silent.Length > 0 && GroupIsKnown ? $"Flight {Wording.List(silent)} has no ESC telemetry: the rotors are compared together, not motor by motor, and temperatures cannot be compared with it."
            : silent.Length > 0 ? $"Flight {Wording.List(silent)} has no ESC telemetry, so rotor orders and temperatures cannot be compared with it."
            : Channels(_flights.Before) == Channels(_flights.After) ? "The same on both sides." : "Only what both sides have is compared."));
        if (silent.Length > 0 && !all && !GroupIsKnown && (_flights.Before.All(f => !f.HasTelemetry) || _flights.After.All(f => !f.HasTelemetry)))
        {
            _obstacles.Add($"flight {Wording.List(silent)} has no ESC telemetry, so neither rotor orders nor temperatures can be held against the other side");
        }
    }

    private static string Channels(IReadOnlyList<AnalysedFlight> side)
    {
        (string Name, Func<MotorTrack, Series?> Of)[] kinds =
        [
            ("speed", m => m.Rpm), ("command", m => m.Command), ("current", m => m.CurrentA), ("motor temperature", m => m.MotorTempC), ("ESC temperature", m => m.EscTempC),
        ];
        string[] known = [.. kinds.Where(k => side.All(f => f.Flight.Motors.Any(m => k.Of(m) is { Count: > 0 }))).Select(k => k.Name)];
        return known.Length == 0 ? "none" : string.Join(", ", known);
    }

    private void FoundSpeeds()
    {
        string[] found = [.. _flights.All.Where(f => Found(f).Length > 0).Select(f => $"{Wording.List(Found(f))} in flight {f.Name}")];
        if (found.Length == 0)
        {
            return;
        }

        SpeedsFound = $"Speeds of {Wording.List(found)} are not in the log: they were found from lines in the vibration, and the orders of these motors rest on them.";
        string Of(IReadOnlyList<AnalysedFlight> side) => string.Join("; ", side.Select(f => Found(f) is { Length: > 0 } some ? $"{string.Join(", ", some)} found" : "as logged").Distinct());
        string before = Of(_flights.Before), after = Of(_flights.After);
        _all.Add(new(Condition.RotorSpeeds, before, after, before == after, SpeedsFound));
    }

    private static string[] Found(AnalysedFlight flight) => [.. flight.Analysis.Motors.Where(m => m.SpeedIsFound).Select(m => m.Id)];

    private void Motors()
    {
        string[] sets = [.. _flights.All.Where(f => f.HasTelemetry).Select(f => string.Join(", ", f.Flight.Motors.Select(m => m.MotorId))).Distinct()];
        if (sets.Length < 2)
        {
            return;
        }

        string Of(IReadOnlyList<AnalysedFlight> side) => string.Join("; ", side.Select(f => string.Join(", ", f.Flight.Motors.Select(m => m.MotorId))).Distinct());
        int[] counts = [.. _flights.All.Where(f => f.HasTelemetry).Select(f => f.Flight.Motors.Count)];
        bool another = counts.Max() - counts.Min() >= 2;
        _all.Add(new("motors in the log", Of(_flights.Before), Of(_flights.After), false,
            another ? "The logs know different motors: flights of different aircraft?" : "A motor is missing from a log; the total is that of the motors all flights know."));
        if (another)
        {
            _obstacles.Add($"the logs know different motors ({Of(_flights.Before)} before, {Of(_flights.After)} after): flights of different aircraft?");
        }
    }

    private void Ambient()
    {
        if (_flights.All.All(f => f.Flight.Motors.All(m => m.MotorTempC is null && m.EscTempC is null)))
        {
            _all.Add(new("ambient temperature", Celsius(_flights.Before), Celsius(_flights.After), null, "No temperatures are logged, so it is not needed."));
            return;
        }

        AnalysedFlight[] unknown = [.. _flights.All.Where(f => f.Analysis.AmbientC is null)];
        AnalysedFlight[] guessed = [.. _flights.All.Where(f => f.AmbientIsGuessed)];
        string why = unknown.Length > 0 ? $"Not known for flight {Wording.List([.. unknown.Select(f => f.Name)])}: without it steady rises are not known. Write ambient_c in the job file."
            : guessed.Length > 0 ? $"Taken from the cold start of flight {Wording.List([.. guessed.Select(f => f.Name)])}, with its doubt. Temperatures are compared as rises above ambient."
            : "Taken out: temperatures are compared as rises above ambient.";
        _all.Add(new("ambient temperature", Celsius(_flights.Before), Celsius(_flights.After), unknown.Length == 0 ? true : null, why));
    }

    private static string? Celsius(IReadOnlyList<AnalysedFlight> side) => side.All(f => f.Analysis.AmbientC is null) ? null
        : string.Join(", ", side.Select(f => f.Analysis.AmbientC is double c ? FormattableString.Invariant($"{c:0.#} °C") : "not known"));

    private void Rates()
    {
        double[] rates = [.. _flights.All.Select(f => f.Flight.Imu.RateHz)];
        bool same = rates.Max() / rates.Min() < 1.02;
        _all.Add(new("IMU rate", Hz(_flights.Before), Hz(_flights.After), true,
            same ? "The same." : "Different: levels and orders are compared in the band that all loggers have."));
    }

    private static string Hz(IReadOnlyList<AnalysedFlight> side) =>
        string.Join(", ", side.Select(f => FormattableString.Invariant($"{f.Flight.Imu.RateHz:0} Hz")).Distinct());

    /// <summary>Direction of gravity over the hover: an IMU that was moved or turned between the flights shows there.</summary>
    private void Attitude()
    {
        double[][] before = [.. _flights.Before.Select(Gravity).OfType<double[]>()], after = [.. _flights.After.Select(Gravity).OfType<double[]>()];
        if (before.Length == 0 || after.Length == 0)
        {
            _all.Add(new("IMU axes", null, null, null, "Gravity is not in the logs, so the axes are taken to be the same on both sides."));
            return;
        }

        double most = before.SelectMany(b => after.Select(a => AngleDeg(b, a))).Max();
        bool alike = most <= TiltLimitDeg;
        string text = FormattableString.Invariant($"gravity within {most:0.0}°");
        _all.Add(new("IMU axes", text, text, alike, alike
            ? "The IMU sat the same way; its place on the airframe is taken to be the same."
            : "The IMU seems to have been turned: levels of single axes do not compare; rotor orders, which add up all axes, still do if its place is the same."));
    }

    private static double[]? Gravity(AnalysedFlight flight)
    {
        ImuTrack imu = flight.Flight.Imu;
        double[] sum = new double[3];
        long n = 0;
        foreach (TimeInterval segment in flight.Hover.Used.Segments)
        {
            foreach (ContiguousSegment block in imu.Blocks)
            {
                int first = Math.Max(0, (int)Math.Ceiling((segment.FromS - block.StartS) / block.PeriodS));
                int last = Math.Min(block.SampleCount - 1, (int)Math.Floor((segment.ToS - block.StartS) / block.PeriodS));
                for (int i = first; i <= last; i++)
                {
                    sum[0] += imu.AccXMps2[block.FirstSample + i];
                    sum[1] += imu.AccYMps2[block.FirstSample + i];
                    sum[2] += imu.AccZMps2[block.FirstSample + i];
                    n++;
                }
            }
        }

        double[] mean = Array.ConvertAll(sum, s => s / Math.Max(1, n));
        double size = Math.Sqrt(mean.Sum(m => m * m));
        // z up and z down are both accepted: the sense of z is no turn of the IMU.
        return Math.Abs(size - GravityMps2) > 2 ? null : mean[2] > 0 ? [mean[0], mean[1], -mean[2]] : mean;
    }

    private static double AngleDeg(double[] a, double[] b)
    {
        double dot = a[0] * b[0] + a[1] * b[1] + a[2] * b[2], sizes = Math.Sqrt(a.Sum(x => x * x) * b.Sum(x => x * x));
        return Math.Acos(Math.Clamp(dot / sizes, -1, 1)) * 180 / Math.PI;
    }

    private void Battery()
    {
        double? before = Mean(_flights.Before, Volts), after = Mean(_flights.After, Volts);
        if (before is double b && after is double a)
        {
            bool alike = Math.Abs(a / b - 1) < 0.08;
            _all.Add(new("battery", FormattableString.Invariant($"{b:0.0} V"), FormattableString.Invariant($"{a:0.0} V"), alike, alike
                ? "Alike in hover."
                : "Another battery or charge: currents and ESC losses differ with it."));
        }
    }

    private static double? Volts(AnalysedFlight flight) => flight.Flight.BatteryV?.MeanOver(flight.Hover.Used.Segments)
        ?? flight.Flight.Motors.Select(m => m.VoltageV?.MeanOver(flight.Hover.Used.Segments)).FirstOrDefault(v => v is not null);

    private void SurveyBetween(Survey? survey)
    {
        string? found = survey?.AsFound.Count > 0 ? FormattableString.Invariant($"{survey.AsFound.Count} motors read") : null;
        string? left = survey?.AsLeft.Count > 0 ? FormattableString.Invariant($"{survey.AsLeft.Count} motors read") : null;
        _all.Add(new("survey", found, left, found is not null && left is not null ? true : null,
            survey is null ? "There is no survey: the comparison goes on without tilts."
            : left is null ? "Nothing was read after the work: what the tilts became is not known, so their effect is not reckoned."
            : found is null ? "Nothing was read before the work: what the tilts were is not known, so their effect is not reckoned."
            : "Tilts are known before and after."));
    }

    private static double? Mean(IReadOnlyList<AnalysedFlight> side, Func<AnalysedFlight, double?> of)
    {
        double[] known = [.. side.Select(of).OfType<double>()];
        return known.Length == 0 ? null : known.Average();
    }
}
