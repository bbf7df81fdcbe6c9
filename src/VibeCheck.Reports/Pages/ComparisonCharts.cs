using VibeCheck.Core.Comparisons;
using VibeCheck.Core.Flights;
using VibeCheck.Core.Flights.Temperatures;
using VibeCheck.Core.Signals;
using VibeCheck.Core.Statistics;
using VibeCheck.Reports.Figures;
using VibeCheck.Reports.Formatting;
using VibeCheck.Reports.Html;

namespace VibeCheck.Reports.Pages;

/// <summary>The charts of a comparison, drawn in parallel.</summary>
internal sealed class ComparisonCharts
{
    /// <summary>Width on a screen or paper, and on a phone, in pixels.</summary>
    internal const int Wide = 760,
        Narrow = 340;

    private readonly Dictionary<string, (Markup Wide, Markup Narrow)> _drawn;

    private ComparisonCharts(Dictionary<string, (Markup, Markup)> drawn) => _drawn = drawn;

    /// <summary>Names of the spectra that were drawn, in the order x, y, z.</summary>
    internal IReadOnlyList<string> Spectra { get; private init; } = [];

    /// <summary>A sentence with the uncertainty of the spectra; empty without spectra.</summary>
    internal string DensityText { get; private init; } = "";

    internal static ComparisonCharts Of(Comparison comparison)
    {
        var jobs = new List<ChartJob>();
        string[] spectra = SpectrumJobs(jobs, comparison.Before, comparison.After);
        jobs.Add(new ChartJob("orders", (width, id) => Orders(comparison).Draw(width, id, "Orders of each motor before and after")));
        jobs.Add(
            new ChartJob(
                "motors",
                (width, id) =>
                    Temperatures(comparison, m => m.MotorTemp, m => m.MotorTemp)
                        .Draw(width, id, "Steady temperature rise of each motor before and after")
            )
        );
        jobs.Add(
            new ChartJob(
                "escs",
                (width, id) =>
                    Temperatures(comparison, m => m.EscTemp, m => m.EscTemp)
                        .Draw(width, id, "Steady temperature rise of each ESC before and after")
            )
        );
        jobs.Add(
            new ChartJob("yaw", (width, id) => Yaw(comparison.YawTrim).Draw(width, id, "Yaw trim measured and predicted, before and after"))
        );
        var drawn = spectra.SelectMany(channel => Mean(comparison.Before, channel).Concat(Mean(comparison.After, channel)));
        return new ComparisonCharts(ChartJob.DrawAll(jobs)) { Spectra = spectra, DensityText = Text.DensityText.Of(drawn) };
    }

    /// <summary>A chart as a figure with both widths.</summary>
    internal Markup Figure(string name, Markup caption) => Drawings.Figure.Of(_drawn[name].Wide, _drawn[name].Narrow, caption);

    /// <summary>Adds a job for each acceleration axis that has a spectrum; returns the channels in the order x, y, z.</summary>
    internal static string[] SpectrumJobs(List<ChartJob> jobs, IReadOnlyList<FlightAnalysis> before, IReadOnlyList<FlightAnalysis> after)
    {
        FlightAnalysis[] all = [.. before, .. after];
        var accelerations = all.SelectMany(f => f.Spectra).Where(s => ChannelNames.Axis(s.Channel) is not null).ToArray();
        double toHz = SpectrumChart.EndHz(all);
        var rangeDb = SpectrumChart.Range(accelerations, toHz);
        MotorAnalysis[] motors = [.. all.SelectMany(f => f.Motors)];
        string[] channels = [.. accelerations.Select(s => s.Channel).Distinct().Order(StringComparer.Ordinal)];
        foreach (string channel in channels)
        {
            var chart = new SpectrumChart
            {
                Before = Mean(before, channel),
                After = Mean(after, channel),
                Motors = motors,
                ToHz = toHz,
                RangeDb = rangeDb,
                Peaks = PeakLabel.Of(all, channel),
            };
            jobs.Add(
                new ChartJob(
                    channel,
                    (width, id) =>
                        chart.Draw(width, width > 500 ? 210 : 190, id, $"Spectrum of acceleration along {ChannelNames.Axis(channel)}")
                )
            );
        }

        return channels;
    }

    // Spectra with the same frequency grid are averaged into one line; otherwise each flight has its own line.
    private static Spectrum[] Mean(IReadOnlyList<FlightAnalysis> flights, string channel)
    {
        Spectrum[] all = [.. flights.SelectMany(f => f.Spectra).Where(s => s.Channel == channel)];
        if (
            all.Length < 2
            || all.Any(s => s.Density.Length != all[0].Density.Length || Math.Abs(s.ResolutionHz - all[0].ResolutionHz) > 1e-9)
        )
        {
            return all;
        }

        double[] mean = new double[all[0].Density.Length];
        foreach (Spectrum spectrum in all)
        {
            for (int k = 0; k < mean.Length; k++)
            {
                mean[k] += spectrum.Density[k] / all.Length;
            }
        }

        return [all[0] with { Density = mean, DegreesOfFreedom = all.Sum(s => s.DegreesOfFreedom) }];
    }

    private static PairChart Orders(Comparison comparison) =>
        new()
        {
            Unit = "m/s²",
            Logarithmic = true,
            Rows =
            [
                .. comparison.Motors.SelectMany(m =>
                    m.Orders.Select(
                        (o, i) =>
                            new PairRow(
                                i == 0 ? $"{m.Id}  ×{Format.Whole(o.Order)}" : $"×{Format.Whole(o.Order)}",
                                o.BeforeMps2,
                                o.AfterMps2,
                                Note(o.ChangeDb, o.Call, "dB"),
                                i == 0
                            )
                    )
                ),
            ],
        };

    private static PairChart Temperatures(
        Comparison comparison,
        Func<MotorComparison, Call> call,
        Func<MotorAnalysis, TemperatureRise> rise
    ) =>
        new()
        {
            Unit = "°C",
            LeastSpan = PairChart.LeastSpanC,
            Rows =
            [
                .. comparison.Motors.Select(m => new PairRow(
                    m.Id,
                    Rise(comparison.Before, m.Id, call(m).Before, call(m).Why, rise),
                    Rise(comparison.After, m.Id, call(m).After, call(m).Why, rise),
                    Note(call(m).Change, call(m).Kind, "°C")
                )),
            ],
        };

    // The call holds the mean over all flights of a side, the flights hold the intervals. The mean of the interval ends is a cautious
    // interval for the mean of several flights: independent errors would make it narrower.
    private static Estimate Rise(
        IReadOnlyList<FlightAnalysis> flights,
        string id,
        double? amount,
        Reason why,
        Func<MotorAnalysis, TemperatureRise> rise
    )
    {
        if (amount is not double value)
        {
            return Estimate.Unknown(why);
        }

        Interval[] own =
        [
            .. flights.SelectMany(f => f.Motors).Where(m => m.Id == id).Select(m => rise(m).RiseSteadyC.Ci95).OfType<Interval>(),
        ];
        return own.Length == 0
            ? Estimate.WithoutInterval(value, new NoIntervalKnown())
            : Estimate.Of(value, new Interval(own.Average(ci => ci.Low), own.Average(ci => ci.High)));
    }

    private static PairChart Yaw(YawTrimChange trim) =>
        new()
        {
            Unit = "%",
            AgainstZero = true,
            Rows =
            [
                new PairRow("flown", Percent(trim.Before), Percent(trim.After), Change(trim.Before, trim.After)),
                new PairRow(
                    "tilts",
                    Percent(trim.PredictedBefore),
                    Percent(trim.PredictedAfter),
                    Change(trim.PredictedBefore, trim.PredictedAfter)
                ),
            ],
        };

    private static string Change(Estimate before, Estimate after) =>
        before.Value is double b && after.Value is double a ? $"{Format.Number(100 * b, 1)} → {Format.Number(100 * a, 1)} %" : "";

    internal static Estimate Percent(Estimate share) =>
        share switch
        {
            { Value: double v, Ci95: Interval ci } => Estimate.Of(100 * v, new Interval(100 * ci.Low, 100 * ci.High)),
            { Value: double v } => Estimate.WithoutInterval(100 * v, share.Why ?? new NotMeasured()),
            _ => share,
        };

    private static string Note(Estimate change, CallKind call, string unit) =>
        change.Value is double value ? $"{Sign(call)}{Format.Signed(value, 1)} {unit}" : "";

    /// <summary>The sign of a call with a space after it; empty when unknown.</summary>
    internal static string Sign(CallKind call) =>
        call switch
        {
            CallKind.Improved => "▼ ",
            CallKind.Worse => "▲ ",
            CallKind.NoClearChange => "● ",
            _ => "",
        };
}
