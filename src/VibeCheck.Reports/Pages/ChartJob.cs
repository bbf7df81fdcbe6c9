using System.Globalization;
using VibeCheck.Reports.Html;

namespace VibeCheck.Reports.Pages;

/// <summary>A chart to draw at both widths.</summary>
/// <param name="Name">Name within the page.</param>
/// <param name="Draw">Draws it at a width, with a prefix for its ids.</param>
internal sealed record ChartJob(string Name, Func<int, string, Markup> Draw)
{
    /// <summary>Draws all charts in parallel; the result does not depend on the order in which they finish.</summary>
    internal static Dictionary<string, (Markup Wide, Markup Narrow)> DrawAll(IReadOnlyList<ChartJob> jobs)
    {
        var wide = new Markup[jobs.Count];
        var narrow = new Markup[jobs.Count];
        Parallel.For(
            0,
            2 * jobs.Count,
            i =>
            {
                ChartJob job = jobs[i / 2];
                string id = "c" + i.ToString(CultureInfo.InvariantCulture);
                if (i % 2 == 0)
                {
                    wide[i / 2] = job.Draw(ComparisonCharts.Wide, id);
                }
                else
                {
                    narrow[i / 2] = job.Draw(ComparisonCharts.Narrow, id);
                }
            }
        );
        var drawn = new Dictionary<string, (Markup, Markup)>();
        for (int i = 0; i < jobs.Count; i++)
        {
            drawn[jobs[i].Name] = (wide[i], narrow[i]);
        }

        return drawn;
    }
}
