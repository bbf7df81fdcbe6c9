using VibeCheck.Core.Tracks;

namespace VibeCheck.Core.Quality;

/// <summary>Finds columns that hold identical numbers, reading for reading.</summary>
internal static class CopiedColumns
{
    private const double TurningShare = 0.4;

    // Two speeds with steps finer than this share agree by chance in at most a few readings out of a hundred.
    private const double FineStepShare = 0.002,
        LeastAgreeing = 0.98;
    private const int LeastSpeeds = 8;

    // Two temperatures in whole degrees may agree throughout by chance. In tenths, or where three columns agree, they do not.
    private const int LeastValues = 8,
        FineValues = 60,
        SeveralColumns = 3;

    /// <summary>Motors whose speed is identical to that of another motor.</summary>
    internal static IEnumerable<string> Speeds(IReadOnlyList<MotorTrack> motors)
    {
        MotorTrack[] heard = [.. motors.Where(m => m.Rpm is { Count: > LeastSpeeds } rpm && IsFine(rpm))];
        return heard.Where(m => heard.Any(o => o != m && SameSpeeds(m.Rpm!, o.Rpm!))).Select(m => m.MotorId);
    }

    /// <summary>Temperature columns whose readings are identical to those of another column.</summary>
    internal static IEnumerable<UnitTrack> Temperatures(IReadOnlyList<UnitTrack> units)
    {
        foreach (UnitTrack unit in units)
        {
            int values = unit.TempC.Values.Distinct().Count();
            if (values < LeastValues)
            {
                continue;
            }

            UnitTrack[] alike = [.. units.Where(u => u != unit && Same(u.TempC, unit.TempC))];

            // A motor and its own ESC heat up at different rates: they never agree throughout.
            if (
                alike.Length + 1 >= SeveralColumns
                || alike.Any(a => a.MotorId == unit.MotorId)
                || (alike.Length > 0 && values >= FineValues)
            )
            {
                yield return unit;
            }
        }
    }

    /// <summary>Whether two series hold the same readings in the same order, and enough of them to rule out chance.</summary>
    internal static bool Same(Series a, Series b)
    {
        if (a.Count != b.Count)
        {
            return false;
        }

        return a.Values.AsSpan().SequenceEqual(b.Values);
    }

    private static bool IsFine(Series rpm)
    {
        double typical = ReadingFilter.Typical(rpm),
            least = double.PositiveInfinity;
        for (int i = 1; i < rpm.Count; i++)
        {
            double step = Math.Abs(rpm.Values[i] - rpm.Values[i - 1]);
            least = step > 0 && rpm.Values[i] > TurningShare * typical ? Math.Min(least, step) : least;
        }

        return least <= FineStepShare * typical;
    }

    private static bool SameSpeeds(Series a, Series b)
    {
        if (a.Count != b.Count)
        {
            return false;
        }

        double limit = TurningShare * ReadingFilter.Typical(a);
        int turning = 0,
            same = 0;
        for (int i = 0; i < a.Count; i++)
        {
            if (a.Values[i] > limit)
            {
                turning++;
                same += a.Values[i] == b.Values[i] ? 1 : 0;
            }
        }

        return turning >= LeastSpeeds && same >= LeastAgreeing * turning;
    }
}
