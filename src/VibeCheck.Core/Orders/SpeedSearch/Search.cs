using VibeCheck.Core.Statistics;
using VibeCheck.Core.Tracks;
using Actuator = VibeCheck.Core.Orders.SpeedSearch.SpeedSearchTuning.Actuator;
using Naming = VibeCheck.Core.Orders.SpeedSearch.SpeedSearchTuning.Naming;

namespace VibeCheck.Core.Orders.SpeedSearch;

/// <summary>One search on its way.</summary>
/// <param name="rateHz">Sample rate of the log, Hz.</param>
/// <param name="segments">Segments of vibration, one or more.</param>
/// <param name="over">The time searched.</param>
/// <param name="priors">All motors.</param>
internal sealed class Search(
    double rateHz,
    IReadOnlyList<SearchSegment> segments,
    IReadOnlyList<TimeInterval> over,
    IReadOnlyList<SpeedPrior> priors
)
{
    private static readonly ActuatorResponse s_usual = new(Actuator.UsualPower, Actuator.UsualLagS);

    private readonly int _blades = priors.Max(l => l.Blades);
    private readonly bool _byCommand = priors.All(l => l.Rpm is not null || l.IsCommanded(over)) && priors.Any(l => l.IsCommanded(over));

    internal static SpeedSearchResult Nothing(IReadOnlyList<SpeedPrior> priors, Reason why) =>
        new() { Motors = [.. priors.Where(l => l.Rpm is null).Select(l => Unknown(l, why))], Why = why };

    internal SpeedSearchResult Result()
    {
        SpeedShape common = SpeedShape.MeanOf(priors.Select(l => l.Shape(over, s_usual, true)).OfType<SpeedShape>());
        (double hz, Reason? why) = Band(common);
        if (why is not null)
        {
            return Nothing(priors, why);
        }

        if (SearchGrid.Near(hz, _blades, rateHz, segments) is not { } grid)
        {
            return Nothing(priors, new OneOrderOnly(hz, rateHz));
        }

        if (grid.Segments.All(s => s.Seconds < 2 * grid.WindowS))
        {
            return Nothing(priors, new HoverTooShortForLines());
        }

        return Named(grid, common);
    }

    private (double Hz, Reason? Why) Band(SpeedShape common)
    {
        double[] known = [.. priors.Select(l => l.Rpm?.MeanOver(over)).OfType<double>().Where(v => v > SpeedSearchTuning.LeastRpm)];
        if (known.Length > 0)
        {
            return (known.Average() / 60, null);
        }

        RotorBand band = RotorBand.Find(WarpedSpectra.Of(segments, common, SpeedSearchTuning.Band.WindowS, rateHz / 2), _blades, rateHz);
        return (band.Hz, band.Why);
    }

    private SpeedSearchResult Named(SearchGrid first, SpeedShape common)
    {
        ActuatorResponse response = _byCommand ? Response(first) : s_usual;
        IReadOnlyList<SpeedShape> shapes = [.. priors.Select(l => l.Shape(over, response, _byCommand) ?? common)];
        IReadOnlyList<SpeedProfile> profiles = first.Profiles(shapes);
        if (profiles[0].Windows < 3)
        {
            return Nothing(priors, new HoverTooShortForLines());
        }

        if (_byCommand && CommonDrift.Of(profiles) is { } drift)
        {
            shapes = [.. shapes.Select(s => s.Times(drift))];
            profiles = first.Profiles(shapes);
        }

        (SearchGrid grid, profiles) = first.AsLongAsPays(shapes, profiles);
        IReadOnlyList<Ridge> lines = [.. RidgeFinder.Find(profiles, grid.Orders).Take(priors.Count)];
        SpeedSearchResult result =
            lines.Count == 0 ? Nothing(priors, new NoLineAtTwoOrders()) : Judged(shapes, profiles, lines, grid.WindowS);
        return result with { LinesRpm = [.. lines.Select(l => 60 * l.Hz).Order()] };
    }

    /// <summary>The response under which the lines stand out most.</summary>
    private ActuatorResponse Response(SearchGrid grid)
    {
        SearchGrid brief = grid.Brief(Actuator.SearchS);
        ActuatorResponse best = Actuator.Powers.Select(p => s_usual with { Power = p }).MaxBy(Sharpness);
        best = Actuator.LagsS.Select(l => best with { LagS = l }).MaxBy(Sharpness);
        return Actuator.FinerPowers.Select(p => best with { Power = best.Power + p }).MaxBy(Sharpness);

        double Sharpness(ActuatorResponse response) =>
            brief.Profiles([.. priors.Where(l => l.IsCommanded(over)).Select(l => l.Shape(over, response, true)!)]).Sum(p => p.Mean.Max());
    }

    private SpeedSearchResult Judged(
        IReadOnlyList<SpeedShape> shapes,
        IReadOnlyList<SpeedProfile> profiles,
        IReadOnlyList<Ridge> lines,
        double windowS
    )
    {
        int?[] fixedLine = [.. priors.Select(l => KnownLine(l, lines, windowS))];
        // A known motor whose lines do not show has no part in the naming.
        int[] part = [.. Enumerable.Range(0, priors.Count).Where(m => priors[m].Rpm is null || fixedLine[m] is not null)];
        var naming = new MotorNaming(
            [.. part.Select(m => profiles[m])],
            lines,
            windowS,
            (m, l) => fixedLine[part[m]] is not int own || own == l
        );
        List<FoundSpeed> found = [];
        for (int i = 0; i < part.Length; i++)
        {
            if (priors[part[i]].Rpm is null)
            {
                found.Add(
                    naming.Lines is null ? Unknown(priors[part[i]], new MoreLinesThanMotors())
                    : _byCommand ? ByCommand(i)
                    : Unknown(priors[part[i]], new LinesNotNamed())
                );
            }
        }

        return new() { Motors = found };

        FoundSpeed ByCommand(int i)
        {
            double lead = naming.Lead(i);
            bool shares = naming.Shares(i);
            Series guess = Track(shapes[part[i]], naming.HzOf(i));
            // Where the other lines are taken by known motors it is left over: then its command must fit it better than any other's does.
            bool others = shares || !double.IsInfinity(lead) || part.Length == 1;
            bool clear = lead >= Naming.LeastLead && (others || naming.Ownership(i, amongAll: true) >= Naming.LeastOwnership);
            Reason? why =
                !clear ? new CommandNotDistinct()
                : shares && naming.Ownership(i, amongAll: false) < Naming.LeastOwnership
                    ? new LineShared([.. naming.With(i).Select(m => priors[part[m]].MotorId)])
                : null;
            return Of(priors[part[i]], guess, lead, why, (shares ? Naming.SharedHalf95 : Naming.AloneHalf95) / windowS);
        }
    }

    private int? KnownLine(SpeedPrior prior, IReadOnlyList<Ridge> lines, double windowS)
    {
        if (prior.Rpm?.MeanOver(over) is not double rpm)
        {
            return null;
        }

        int nearest = Enumerable.Range(0, lines.Count).MinBy(l => Math.Abs(lines[l].Hz - rpm / 60));
        return Math.Abs(lines[nearest].Hz - rpm / 60) < Naming.KnownReach / windowS ? nearest : null;
    }

    private FoundSpeed Of(SpeedPrior prior, Series guess, double deviations, Reason? why, double half95Hz) =>
        new()
        {
            MotorId = prior.MotorId,
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

    private static FoundSpeed Unknown(SpeedPrior prior, Reason why) => new() { MotorId = prior.MotorId, MeanRpm = Estimate.Unknown(why) };
}
