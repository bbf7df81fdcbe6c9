using VibeCheck.Core.Statistics;
using VibeCheck.Core.Tracks;

namespace VibeCheck.Core.Quality;

/// <summary>Finds temperature columns that were exchanged between before and after: of motor and ESC, or among motors.</summary>
/// <param name="rises">Rises before and after.</param>
internal sealed class SwappedTemperatures(PairedRises rises)
{
    // Motors and ESCs swapped: the reported changes, without the part common to all, are this large, and vanish when the columns are
    // exchanged.
    private const double SwapC = 4,
        SwappedShare = 0.15,
        SwapLeftC = 2;

    // Motors renumbered: the same for an exchange among motors. Similar flights leave 0.7 °C (docs/methods/comparison.md), so twice that
    // may remain.
    private const double RenumberC = 3,
        RenumberFewC = 4,
        RenumberLeftC = 1.4,
        RenumberShare = 0.4;

    /// <summary>Motors whose temperature was exchanged with that of their ESC.</summary>
    internal IEnumerable<QualityIssue> MotorsWithEscs()
    {
        int[] known = [.. Enumerable.Range(0, rises.Ids.Length).Where(i => rises.Motors[i].IsKnown && rises.Escs[i].IsKnown)];
        if (known.Length < 2)
        {
            return [];
        }

        double asReported = PairedRises.Scatter([.. known.SelectMany(i => new[] { rises.Motors[i].ChangeC, rises.Escs[i].ChangeC })]);
        double exchanged = PairedRises.Scatter([
            .. known.SelectMany(i =>
                new[] { rises.Escs[i].AfterC - rises.Motors[i].BeforeC, rises.Motors[i].AfterC - rises.Escs[i].BeforeC }
            ),
        ]);
        int[] swapped =
            asReported > SwapC && exchanged * exchanged < SwappedShare * asReported * asReported ? known
            : known.Length >= 3 ? [.. known.Where(i => SwappedAlone(i, known))]
            : [];
        return swapped.Length == 0 ? [] : rises.Withheld(new MotorAndEscSwapped(rises.Names(swapped)), swapped, Answers.Temperatures);
    }

    private bool SwappedAlone(int at, int[] known)
    {
        int[] others = [.. known.Where(i => i != at)];
        double motorShift = Robust.Median(others.Select(i => rises.Motors[i].ChangeC)),
            escShift = Robust.Median(others.Select(i => rises.Escs[i].ChangeC));
        double motor = rises.Motors[at].ChangeC - motorShift,
            esc = rises.Escs[at].ChangeC - escShift;
        return Math.Min(Math.Abs(motor), Math.Abs(esc)) > SwapC
            && Math.Sign(motor) != Math.Sign(esc)
            && Math.Abs(rises.Escs[at].AfterC - motorShift - rises.Motors[at].BeforeC) < SwapLeftC
            && Math.Abs(rises.Motors[at].AfterC - escShift - rises.Escs[at].BeforeC) < SwapLeftC;
    }

    /// <summary>Motors that have another number after than before.</summary>
    internal IEnumerable<QualityIssue> Renumbered()
    {
        int[]? motors = BestOrder(rises.Motors),
            escs = BestOrder(rises.Escs);
        if (motors is null && escs is null)
        {
            return [];
        }

        // Both kinds in the same new order: the motors were renumbered; one kind alone: the columns of that kind.
        bool both = motors is not null && escs is not null && motors.SequenceEqual(escs);
        return (
            both
                ? [(motors, Answers.TemperaturesByMotor | Answers.MotorOrders)]
                : new[] { (motors, Answers.MotorTemperaturesByMotor), (escs, Answers.EscTemperaturesByMotor) }
        )
            .Where(o => o.Item1 is not null)
            .SelectMany(o =>
            {
                int[] moved = [.. Enumerable.Range(0, rises.Ids.Length).Where(i => o.Item1![i] != i)];
                return rises.Withheld(new MotorsRenumbered(rises.Names(moved)), moved, o.Item2);
            });
    }

    /// <summary>The order of the motors after for which the changes vanish; null where the changes are small without it, or no order makes
    /// them small.</summary>
    private static int[]? BestOrder(PairedRise[] units)
    {
        int n = units.Length;
        if (n < 3 || units.Any(u => !u.IsKnown))
        {
            return null;
        }

        double asReported = PairedRises.Scatter([.. units.Select(u => u.ChangeC)]);
        if (asReported < (n > 4 ? RenumberC : RenumberFewC))
        {
            return null;
        }

        int[]? best = null;
        double least = Math.Min(RenumberLeftC, RenumberShare * asReported);
        foreach (int[] order in Renumberings.Of(n))
        {
            double left = PairedRises.Scatter([.. units.Select((u, i) => units[order[i]].AfterC - u.BeforeC)]);
            (least, best) = left < least ? (left, order) : (least, best);
        }

        return best;
    }
}
