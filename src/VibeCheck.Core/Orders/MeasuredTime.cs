using VibeCheck.Core.Tracks;
using Tuning = VibeCheck.Core.Orders.OrderTuning.Selection;

namespace VibeCheck.Core.Orders;

/// <summary>Which part of a long hover the orders are measured on.</summary>
/// <remarks>The work grows with the time, the error does not shrink for ever: what is left after some minutes is how well the angles are
/// tracked, not noise. So a long hover is measured on parts spread evenly over it, which meet its slow changes (battery, warmth)
/// alike.</remarks>
internal static class MeasuredTime
{
    /// <summary>Most hover that orders are measured on, s.</summary>
    internal const double MostS = Tuning.LongestMeasuredS;

    /// <summary>The hover itself, or parts of it, <see cref="MostS"/> in all, each from the middle of an equal share of it.</summary>
    /// <param name="hover">Segments in rising order.</param>
    internal static IReadOnlyList<TimeInterval> Of(IReadOnlyList<TimeInterval> hover)
    {
        if (!IsInParts(hover))
        {
            return hover;
        }

        double all = hover.Sum(s => s.Seconds);
        var parts = new List<TimeInterval>();
        for (int p = 0; p < Tuning.Parts; p++)
        {
            double middle = (p + 0.5) * all / Tuning.Parts,
                half = MostS / Tuning.Parts / 2;
            Take(hover, middle - half, middle + half, parts);
        }

        return parts;
    }

    /// <summary>Whether a hover is so long that only parts of it are measured.</summary>
    internal static bool IsInParts(IReadOnlyList<TimeInterval> hover) => hover.Sum(s => s.Seconds) > Tuning.MeasuredWhole * MostS;

    /// <summary>Share of a hover that is not measured.</summary>
    internal static double LeftOut(IReadOnlyList<TimeInterval> hover) => IsInParts(hover) ? 1 - MostS / hover.Sum(s => s.Seconds) : 0;

    /// <summary>Adds the parts between two times counted along the hover alone.</summary>
    private static void Take(IReadOnlyList<TimeInterval> hover, double from, double to, List<TimeInterval> parts)
    {
        double begin = 0;
        foreach (TimeInterval s in hover)
        {
            double a = Math.Max(from, begin),
                b = Math.Min(to, begin + s.Seconds);
            if (b > a)
            {
                parts.Add(new TimeInterval(s.FromS + a - begin, s.FromS + b - begin));
            }

            begin += s.Seconds;
        }
    }
}
