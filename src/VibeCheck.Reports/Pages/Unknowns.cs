using VibeCheck.Core.Comparisons;
using VibeCheck.Core.Flights;
using VibeCheck.Core.Orders;
using VibeCheck.Core.Statistics;
using VibeCheck.Reports.Formatting;
using VibeCheck.Reports.Html;
using VibeCheck.Reports.Text;

namespace VibeCheck.Reports.Pages;

/// <summary>Collects what is not known, so that a reason that several amounts share is given once.</summary>
internal sealed class Unknowns
{
    private readonly List<(string What, string Why)> _all = [];

    internal static Unknowns Of(Comparison comparison)
    {
        var unknowns = new Unknowns();
        unknowns.Add("vibration", comparison.Vibration);
        if (comparison.Parts.Count > 0)
        {
            unknowns.Add("total vibration", comparison.AllVibration);
        }

        unknowns.Add("hottest motor", comparison.MotorTemperature);
        unknowns.Add("hottest ESC", comparison.EscTemperature);
        foreach (MotorComparison motor in comparison.Motors)
        {
            unknowns.Add($"{motor.Id} speed before", motor.RpmBefore);
            unknowns.Add($"{motor.Id} speed after", motor.RpmAfter);
            unknowns.Add($"{motor.Id} motor temperature", motor.MotorTemp);
            unknowns.Add($"{motor.Id} ESC temperature", motor.EscTemp);
            foreach (OrderChange order in motor.Orders)
            {
                unknowns.Add($"{motor.Id} ×{Format.Whole(order.Order)}", order.ChangeDb);
            }
        }

        foreach (LevelChange level in comparison.Levels)
        {
            unknowns.Add($"level of {ChannelNames.Of(level.Channel)}", level.ChangeDb);
        }

        unknowns.Add("predicted yaw trim before", comparison.YawTrim.PredictedBefore);
        unknowns.Add("predicted yaw trim after", comparison.YawTrim.PredictedAfter);
        unknowns.Add("effect of tilt", comparison.TiltEffect.SlopePerDeg);
        return unknowns;
    }

    internal static Unknowns Of(FlightAnalysis flight)
    {
        var unknowns = new Unknowns();
        unknowns.Add("vibration from the rotors", flight.VibrationMps2);
        unknowns.Add("yaw trim", flight.YawTrim.Split);
        foreach (MotorAnalysis motor in flight.Motors)
        {
            unknowns.Add($"{motor.Id} speed", motor.RpmMean);
            unknowns.Add($"{motor.Id} load share", motor.LoadShare);
            unknowns.Add($"{motor.Id} current", motor.CurrentA);
            unknowns.Add($"{motor.Id} motor temperature", motor.MotorTemp.RiseSteadyC);
            unknowns.Add($"{motor.Id} ESC temperature", motor.EscTemp.RiseSteadyC);
            unknowns.Add($"{motor.Id} unbalance", motor.UnbalanceGmm);
            foreach (OrderLevel order in motor.Orders)
            {
                unknowns.Add($"{motor.Id} ×{Format.Whole(order.Order)}", order.RmsMps2);
            }
        }

        foreach (Level level in flight.Levels)
        {
            unknowns.Add($"level of {ChannelNames.Of(level.Channel)}", level.Rms);
        }

        return unknowns;
    }

    /// <summary>A list, or a sentence that says that nothing is unknown.</summary>
    internal Markup ToMarkup()
    {
        if (_all.Count == 0)
        {
            return Markup.Of($"<p>Nothing that this page shows is unknown.</p>\n");
        }

        var lines = _all.GroupBy(u => u.Why)
            .Select(g =>
                Markup.Of(
                    $"<li><strong>{Grammar.Capital(Names([.. g.Select(u => u.What)]))}</strong>: not known, because "
                        + $"{Grammar.Because(g.Key)}.</li>\n"
                )
            );
        return Markup.Of($"<ul>\n{lines}</ul>\n");
    }

    private void Add(string what, Estimate estimate)
    {
        if (!estimate.IsKnown && ReasonText.Of(estimate.Why) is string why)
        {
            _all.Add((what, why));
        }
    }

    private void Add(string what, Call call)
    {
        if (call.Kind == CallKind.Unknown)
        {
            _all.Add((what, ReasonText.Of(call.Why)));
        }
    }

    private static string Names(string[] names) =>
        names.Length <= 8 ? Grammar.List(names) : $"{string.Join(", ", names.Take(6))} and {Format.Whole(names.Length - 6)} more";
}
