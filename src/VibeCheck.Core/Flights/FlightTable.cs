using System.Globalization;
using Microsoft.Data.Analysis;

namespace VibeCheck.Core.Flights;

/// <summary>One row for each motor of one flight: speed, load share, current, size of each order, steady rises. Unknown values are
/// empty.</summary>
public static class FlightTable
{
    /// <summary>The table of a flight, motors in the airframe's order. Columns carry their units in their names; those that end in
    /// <c>_low</c> and <c>_high</c> are the ends of the 95 % interval of the column before.</summary>
    public static DataFrame Of(FlightAnalysis analysis)
    {
        ArgumentNullException.ThrowIfNull(analysis);
        DataFrame table = new(new StringDataFrameColumn("motor", analysis.Motors.Select(m => m.Id)));
        Add(table, analysis, "rpm", m => m.RpmMean);
        Add(table, analysis, "load_share", m => m.LoadShare);
        Add(table, analysis, "current_a", m => m.CurrentA);
        foreach (int order in analysis.Motors.SelectMany(m => m.Orders).Select(o => o.Order).Distinct().Order())
        {
            Add(
                table,
                analysis,
                string.Create(CultureInfo.InvariantCulture, $"order{order}_mps2"),
                m => m.Orders.FirstOrDefault(o => o.Order == order)?.RmsMps2
            );
        }

        Add(table, analysis, "motor_rise_c", m => m.MotorTemp.RiseSteadyC);
        Add(table, analysis, "esc_rise_c", m => m.EscTemp.RiseSteadyC);
        return table;
    }

    private static void Add(DataFrame table, FlightAnalysis analysis, string name, Func<MotorAnalysis, Statistics.Estimate?> of)
    {
        Statistics.Estimate?[] all = [.. analysis.Motors.Select(of)];
        table.Columns.Add(new DoubleDataFrameColumn(name, all.Select(e => e?.Value)));
        table.Columns.Add(new DoubleDataFrameColumn(name + "_low", all.Select(e => e?.Ci95?.Low)));
        table.Columns.Add(new DoubleDataFrameColumn(name + "_high", all.Select(e => e?.Ci95?.High)));
    }
}
