using VibeCheck.Core.Statistics;
using VibeCheck.Core.Tracks;
using static System.FormattableString;

namespace VibeCheck.Core.Orders.SpeedSearch;

/// <summary>One search on its way.</summary>
/// <param name="rateHz">Sample rate of the log, Hz.</param>
/// <param name="heard">Stretches of vibration, one or more.</param>
/// <param name="over">The time searched.</param>
/// <param name="leads">All motors.</param>
internal sealed class Search(double rateHz, IReadOnlyList<SearchSegment> heard, IReadOnlyList<TimeInterval> over, IReadOnlyList<SpeedPrior> leads)
{
    private const double RoughWindowS = 1;
    private const double AnswerS = 20;

    // Limits set on the campaign's trials of seed 1; held against others in docs/methods/rotor-speeds.md.
    private const double LeastLead = 3;
    private const double LeastOwnership = 2;
    private const double AloneHalf95 = 0.25;
    private const double SharedHalf95 = 0.35;
    private const double KnownReach = 0.6;

    private static readonly ActuatorResponse s_usual = new(0.75, 0.05);
    private static readonly double[] s_powers = [0.5, 0.75, 1];
    private static readonly double[] s_finer = [-0.12, 0, 0.12];
    private static readonly double[] s_lagsS = [0.01, 0.03, 0.06, 0.1];

    private readonly int _blades = leads.Max(l => l.Blades);
    private readonly bool _byCommand = leads.All(l => l.Rpm is not null || l.IsCommanded(over)) && leads.Any(l => l.IsCommanded(over));

    internal static SpeedSearchResult Nothing(IReadOnlyList<SpeedPrior> leads, string why) => new()
    {
        Motors = [.. leads.Where(l => l.Rpm is null).Select(l => Unknown(l, why))],
        Why = why,
    };

    internal SpeedSearchResult Result()
    {
        SpeedShape common = SpeedShape.MeanOf(leads.Select(l => l.Shape(over, s_usual, true)).OfType<SpeedShape>());
        (double hz, string? why) = Band(common);
        if (why is not null)
        {
            return Nothing(leads, why);
        }

        if (SearchGrid.Near(hz, _blades, rateHz, heard) is not { } post)
        {
            return Nothing(leads, Invariant($"Rotors turn at some {hz:0} Hz, and {rateHz:0} samples a second show only one of their orders."));
        }

        if (post.Stretches.All(s => s.Seconds < 2 * post.WindowS))
        {
            return Nothing(leads, "The hover is too short to follow lines in it.");
        }

        return Named(post, common);
    }

    private (double Hz, string? Why) Band(SpeedShape common)
    {
        double[] known = [.. leads.Select(l => l.Rpm?.MeanOver(over)).OfType<double>().Where(v => v > 300)];
        if (known.Length > 0)
        {
            return (known.Average() / 60, null);
        }

        RotorBand band = RotorBand.Find(WarpedSpectra.Of(heard, common, RoughWindowS, rateHz / 2), _blades, rateHz);
        return (band.Hz, band.Why);
    }

    private SpeedSearchResult Named(SearchGrid first, SpeedShape common)
    {
        ActuatorResponse answer = _byCommand ? Answer(first) : s_usual;
        IReadOnlyList<SpeedShape> shapes = [.. leads.Select(l => l.Shape(over, answer, _byCommand) ?? common)];
        IReadOnlyList<SpeedProfile> profiles = first.Profiles(shapes);
        if (profiles[0].Windows < 3)
        {
            return Nothing(leads, "The hover is too short to follow lines in it.");
        }

        if (_byCommand && CommonDrift.Of(profiles) is { } drift)
        {
            shapes = [.. shapes.Select(s => s.Times(drift))];
            profiles = first.Profiles(shapes);
        }

        (SearchGrid post, profiles) = first.AsLongAsPays(shapes, profiles);
        IReadOnlyList<Ridge> lines = [.. RidgeFinder.Find(profiles, post.Orders).Take(leads.Count)];
        SpeedSearchResult result = lines.Count == 0
            ? Nothing(leads, "No line in the vibration stands at two orders of one speed.")
            : Judged(shapes, profiles, lines, post.WindowS);
        return result with { LinesRpm = [.. lines.Select(l => 60 * l.Hz).Order()] };
    }

    /// <summary>The answer under which the lines stand out most.</summary>
    private ActuatorResponse Answer(SearchGrid post)
    {
        SearchGrid brief = post.Brief(AnswerS);
        ActuatorResponse best = s_powers.Select(p => s_usual with { Power = p }).MaxBy(Sharpness);
        best = s_lagsS.Select(l => best with { LagS = l }).MaxBy(Sharpness);
        return s_finer.Select(p => best with { Power = best.Power + p }).MaxBy(Sharpness);

        double Sharpness(ActuatorResponse answer) => brief
            .Profiles([.. leads.Where(l => l.IsCommanded(over)).Select(l => l.Shape(over, answer, true)!)])
            .Sum(p => p.Mean.Max());
    }

    private SpeedSearchResult Judged(IReadOnlyList<SpeedShape> shapes, IReadOnlyList<SpeedProfile> profiles, IReadOnlyList<Ridge> lines, double windowS)
    {
        int?[] fixedLine = [.. leads.Select(l => KnownLine(l, lines, windowS))];
        // A known motor whose lines do not show has no part in the naming.
        int[] part = [.. Enumerable.Range(0, leads.Count).Where(m => leads[m].Rpm is null || fixedLine[m] is not null)];
        var naming = new MotorNaming([.. part.Select(m => profiles[m])], lines, windowS, (m, l) => fixedLine[part[m]] is not int own || own == l);
        List<FoundSpeed> found = [];
        for (int i = 0; i < part.Length; i++)
        {
            if (leads[part[i]].Rpm is null)
            {
                found.Add(naming.Lines is null
                    ? Unknown(leads[part[i]], "More lines are seen than there are motors to make them.")
                    : _byCommand ? ByCommand(i)
                    : Unknown(leads[part[i]], "Without commands the lines in the vibration cannot be given to motors."));
            }
        }

        return new() { Motors = found };

        FoundSpeed ByCommand(int i)
        {
            double lead = naming.Lead(i);
            bool shares = naming.Shares(i);
            Series guess = Track(shapes[part[i]], naming.HzOf(i));
            // Where the other lines are taken by known motors it is left over: then its command must fit it better than any other's does.
            bool clear = lead >= LeastLead && (shares || !double.IsInfinity(lead) || part.Length == 1 || naming.Ownership(i, amongAll: true) >= LeastOwnership);
            string? why = !clear
                ? "Its command does not tell its lines clearly from those of other motors."
                : shares && naming.Ownership(i, amongAll: false) < LeastOwnership
                    ? $"It turns too nearly like {string.Join(", ", naming.With(i).Select(m => leads[part[m]].MotorId))} to be told apart in the vibration."
                    : null;
            return Of(leads[part[i]], guess, lead, why, (shares ? SharedHalf95 : AloneHalf95) / windowS);
        }
    }

    private int? KnownLine(SpeedPrior lead, IReadOnlyList<Ridge> lines, double windowS)
    {
        if (lead.Rpm?.MeanOver(over) is not double rpm)
        {
            return null;
        }

        int nearest = Enumerable.Range(0, lines.Count).MinBy(l => Math.Abs(lines[l].Hz - rpm / 60));
        return Math.Abs(lines[nearest].Hz - rpm / 60) < KnownReach / windowS ? nearest : null;
    }

    private FoundSpeed Of(SpeedPrior lead, Series guess, double deviations, string? why, double half95Hz) => new()
    {
        MotorId = lead.MotorId,
        Guess = guess,
        Rpm = why is null ? guess : null,
        MeanRpm = why is null ? Estimate.Around(guess.MeanOver(over)!.Value, 60 * half95Hz) : Estimate.Unknown(why),
        Lead = double.IsFinite(deviations) ? deviations : null,
    };

    private Series Track(SpeedShape shape, double hz)
    {
        const double stepS = 0.05;
        List<double> timeS = [];
        foreach (TimeInterval segment in over)
        {
            for (int i = 0; segment.FromS + i * stepS <= segment.ToS; i++)
            {
                timeS.Add(segment.FromS + i * stepS);
            }
        }

        return new([.. timeS], [.. timeS.Select(t => 60 * hz * shape.At(t))]);
    }

    private static FoundSpeed Unknown(SpeedPrior lead, string why) => new() { MotorId = lead.MotorId, MeanRpm = Estimate.Unknown(why) };
}
