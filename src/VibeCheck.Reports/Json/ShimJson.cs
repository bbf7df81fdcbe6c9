using VibeCheck.Core.Surveys;

namespace VibeCheck.Reports.Json;

/// <summary>Writes <c>vibecheck.shims/1</c> and <c>vibecheck.chart/1</c>.</summary>
public static class ShimJson
{
    /// <summary>Writes a plan.</summary>
    /// <param name="plan">The plan.</param>
    /// <param name="sinceLast">Moves since an earlier survey; empty when there was none.</param>
    /// <param name="stream">Takes the text, UTF-8; stays open.</param>
    public static void Write(ShimPlan plan, IReadOnlyList<MountMovement> sinceLast, Stream stream)
    {
        ArgumentNullException.ThrowIfNull(plan);
        ArgumentNullException.ThrowIfNull(sinceLast);
        ResultOptions.Write(stream, new ShimPlanFields(plan, sinceLast));
    }

    /// <summary>Writes a shim chart as UTF-8; the stream stays open.</summary>
    public static void Write(ShimChart chart, Stream stream)
    {
        ArgumentNullException.ThrowIfNull(chart);
        ResultOptions.Write(stream, new ShimChartFields(chart));
    }
}
