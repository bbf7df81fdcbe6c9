using VibeCheck.Logs.Columns;
using VibeCheck.Logs.Text;

namespace VibeCheck.Logs.Assembly;

/// <summary>Telemetry that a fast log repeats in every row until the next report: the rows in which reports arrived are found, so that
/// speeds are joined from report to report, not as stairs, and whole-degree temperatures are not read at their steps only.</summary>
internal static class HeldTelemetry
{
    // Values that stand still for three rows or more at a time are held.
    private const int LeastHold = 3;

    /// <summary>Of the columns of one motor those that are held, each with the indices of its reports in the column.</summary>
    internal static Dictionary<PlannedColumn, int[]> Reports(IReadOnlyList<(PlannedColumn Column, SparseColumn Values)> motor)
    {
        // Temperatures and commands stand still by nature; a speed or a current does not.
        SparseColumn? lead =
            motor.FirstOrDefault(m => m.Column.Channel!.Quantity == Quantity.RotorSpeed).Values
            ?? motor.FirstOrDefault(m => m.Column.Channel!.Quantity == Quantity.Current).Values;
        if (lead is null || lead.Count <= 100 || UsualHold(lead) is < LeastHold or int.MaxValue)
        {
            return [];
        }

        var held = motor.Where(m => m.Values.Count > 100 && UsualHold(m.Values) >= LeastHold).ToList();
        if (held.Count == 0 || held.Any(h => h.Values.Count != held[0].Values.Count || !h.Values.Rows.SequenceEqual(held[0].Values.Rows)))
        {
            return [];
        }

        int[] places = Places(held.ConvertAll(h => h.Values));
        return places.Length * LeastHold > held[0].Values.Count ? [] : held.ToDictionary(h => h.Column, _ => places);
    }

    /// <summary>Median number of rows from one change to the next; 0 where there are hardly any
    /// changes (then the column alone says nothing).</summary>
    private static int UsualHold(SparseColumn column)
    {
        ReadOnlySpan<double> values = column.Values;
        var holds = new List<int>();
        int since = 0;
        for (int i = 1; i < values.Length; i++)
        {
            if (values[i] != values[i - 1])
            {
                holds.Add(i - since);
                since = i;
            }
        }

        holds.Sort();
        return holds.Count == 0 ? int.MaxValue : holds[holds.Count / 2];
    }

    private static int[] Places(List<SparseColumn> columns)
    {
        var changes = new List<int> { 0 };
        int n = columns[0].Count;
        for (int i = 1; i < n; i++)
        {
            foreach (SparseColumn column in columns)
            {
                if (column.Values[i] != column.Values[i - 1])
                {
                    changes.Add(i);
                    break;
                }
            }
        }

        int[] holds = [.. changes.Skip(1).Zip(changes, (b, a) => b - a).Order()];
        int usual = holds.Length == 0 ? Math.Max(1, n / 100) : Math.Max(1, holds[holds.Length / 2]);
        var places = new List<int>();
        for (int c = 0; c < changes.Count; c++)
        {
            int end = c + 1 < changes.Count ? changes[c + 1] : n;
            places.Add(changes[c]);

            // Reports that changed nothing arrived too.
            for (int i = changes[c] + usual; i < end - usual / 2; i += usual)
            {
                places.Add(i);
            }
        }

        return [.. places];
    }
}
