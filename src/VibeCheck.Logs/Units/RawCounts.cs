namespace VibeCheck.Logs.Units;

/// <summary>Recognises raw sensor counts, which have no unit yet.</summary>
internal static class RawCounts
{
    private const int MostLooked = 2000;

    /// <summary>Whether the first values are whole numbers; NaN is ignored.</summary>
    internal static bool AreWhole(double[] values)
    {
        for (int i = 0; i < Math.Min(MostLooked, values.Length); i++)
        {
            if (values[i] != Math.Floor(values[i]) && !double.IsNaN(values[i]))
            {
                return false;
            }
        }

        return true;
    }
}
