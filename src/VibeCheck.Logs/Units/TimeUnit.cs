using System.Globalization;
using VibeCheck.Logs.Clocks;
using VibeCheck.Logs.Columns;
using VibeCheck.Logs.Inputs;
using VibeCheck.Logs.Text;

namespace VibeCheck.Logs.Units;

/// <summary>Unit of the time stamps: from the header, checked against the data, or from the data where only one unit is
/// plausible.</summary>
internal static class TimeUnit
{
    private static readonly Unit[] Candidates = [UnitTable.Second, UnitTable.Millisecond, UnitTable.Microsecond, UnitTable.Nanosecond];

    /// <summary>The time column with its unit.</summary>
    /// <param name="rows">The rows of the file.</param>
    /// <param name="column">The column as its header has it.</param>
    /// <param name="raw">Its numbers.</param>
    /// <param name="imu">Whether the file holds acceleration, and so has a high rate.</param>
    /// <exception cref="InputFaultException">Header and data contradict each other, or several units are possible.</exception>
    internal static PlannedColumn Resolve(LogRows rows, PlannedColumn column, ReadOnlySpan<double> raw, bool imu)
    {
        (double step, double span) = StepAndSpan(raw);
        if (column.Unit is null)
        {
            List<Unit> plausible = [.. Candidates.Where(u => IsPlausible(step * u.Factor, span * u.Factor, imu))];
            Unit unit =
                plausible.Count == 1 || (plausible.Count > 1 && raw.Length < 3)
                    ? plausible[0]
                    : throw rows.Fault(
                        rows.Form.HeaderLine,
                        column.Index + 1,
                        string.Create(
                            CultureInfo.InvariantCulture,
                            $"the unit of '{CellText.Cut(column.Header)}' is not given, and steps of {step:G4} do not show it"
                        ) + (plausible.Count > 1 ? $" (could be {string.Join(" or ", plausible.Select(u => u.Symbol))})" : ""),
                        "Say it with --time-unit, or in the header as time_ms or the like."
                    );
            return column with { Unit = unit, HowKnown = "data" };
        }

        if (column.HowKnown is "header" or "units row" && step > 0 && raw.Length > 50)
        {
            double said = step * column.Unit.Factor * column.Scale;
            bool impossible = imu ? said is > 2 or < 4e-6 : said is > 300 or < 4e-6;
            Unit? other = Candidates.FirstOrDefault(u => u != column.Unit && IsPlausible(step * u.Factor, span * u.Factor, imu));
            if (impossible && other is not null)
            {
                throw rows.Fault(
                    rows.Form.HeaderLine,
                    column.Index + 1,
                    string.Create(
                        CultureInfo.InvariantCulture,
                        $"'{CellText.Cut(column.Header)}' says {column.Unit.Symbol}, which makes {1 / said:G3} rows a second; the data "
                            + $"look like {other.Symbol} ({1 / (step * other.Factor):G3} rows a second)"
                    ),
                    "Say which is right with --time-unit or in a columns file."
                );
            }
        }

        return column;
    }

    private static bool IsPlausible(double stepS, double spanS, bool imu) =>
        (imu ? stepS is >= 1e-5 and <= 0.2 : stepS is >= 1e-4 and <= 12) && spanS is >= 1 and <= 6 * 3600;

    private static (double Step, double Span) StepAndSpan(ReadOnlySpan<double> raw)
    {
        double least = double.PositiveInfinity,
            most = double.NegativeInfinity;
        foreach (double value in raw)
        {
            least = value < least ? value : least;
            most = value > most ? value : most;
        }

        double step = StampCleaner.UsualStep(raw[..Math.Min(raw.Length, 20_000)]);
        double mean = raw.Length > 1 ? (most - least) / (raw.Length - 1) : 0;

        // Coarse stamps repeat: the mean is then a better estimate than the usual forward step.
        return (raw.Length > 1 && mean > 0 && step > 3 * mean ? mean : step, most - least);
    }
}
