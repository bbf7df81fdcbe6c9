namespace VibeCheck.Core.Samples;

/// <summary>Finds samples that jump away from both neighbours and back at once. No vibration that passes the sensor does that.</summary>
/// <remarks>A knock rings for some samples and is kept, because it is vibration.</remarks>
internal static class SpikeSearch
{
    // Departures from the midpoint between neighbours, as multiples of their median: a spike exceeds the first, and the samples without the
    // spike stay below the second.
    private const double Spike = 16,
        Calm = 8;

    // A spike of the recorder is not longer than this; at low rates a sample or two may be a knock.
    private const double LongestS = 0.004;
    private const int Longest = 3;

    /// <summary>Marks spikes as unknown (NaN); returns how many.</summary>
    internal static int Mark(double[] values, ColumnSteps steps, double rateHz)
    {
        int marked = 0,
            longest = (int)Math.Clamp(LongestS * rateHz, 0, Longest);
        for (int i = 2; longest > 0 && i < values.Length - 2; i++)
        {
            double bend = Math.Abs(ColumnSteps.Bend(values, i));
            if (bend > Spike * steps.UsualBend(i))
            {
                int length = Length(values, i, steps.UsualBend(i), longest);
                for (int k = 0; k < length; k++)
                {
                    values[i + k] = double.NaN;
                    marked++;
                }

                i += length;
            }
        }

        return marked;
    }

    /// <summary>Length of a spike that starts at a sample, in samples; 0 for none.</summary>
    private static int Length(double[] values, int at, double usual, int longest)
    {
        if (!(usual > 0))
        {
            return 0;
        }

        // The sample before a spike departs as well, by half as much.
        for (int length = 1; length <= longest; length++)
        {
            for (int from = at; from <= at + 1 && from + length + 1 < values.Length; from++)
            {
                if (IsCalmWithout(values, from, length, Calm * usual))
                {
                    return from == at ? length : 0;
                }
            }
        }

        return 0;
    }

    /// <summary>Whether the samples on either side are consistent once those between are removed and replaced by a line.</summary>
    private static bool IsCalmWithout(double[] values, int from, int length, double limit)
    {
        int before = from - 1,
            after = from + length;
        double slope = (values[after] - values[before]) / (length + 1);
        double left = values[before] - (values[before - 1] + values[before] + slope) / 2,
            right = values[after] - (values[after] - slope + values[after + 1]) / 2;
        double away = 0;
        for (int k = 0; k < length; k++)
        {
            away = Math.Max(away, Math.Abs(values[from + k] - values[before] - slope * (k + 1)));
        }

        return Math.Abs(left) < limit && Math.Abs(right) < limit && away > 2 * limit && Math.Abs(slope) < 2 * limit;
    }
}
