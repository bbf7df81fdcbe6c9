namespace VibeCheck.Logs.Units;

/// <summary>Recognises numbers as a sensor's chip gives them, not yet in a unit.</summary>
internal static class RawCounts
{
    private const int MostLooked = 2000;

    /// <summary>Whether the first values are whole numbers; NaN does not count.</summary>
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
