namespace VibeCheck.Core.Airframes;

/// <summary>How the arms of an airframe stand about its hub: plain geometry, seen from above.</summary>
public enum ArmLayout
{
    /// <summary>Evenly spaced, the nose midway between two arms.</summary>
    NoseBetweenArms,

    /// <summary>Evenly spaced, one arm at the nose.</summary>
    NoseOnArm,

    /// <summary>Four motors at the corners of a rectangle that is wider or longer.</summary>
    Rectangle,
}

/// <summary>Where motors stand on the usual airframes.</summary>
public static class AirframeLayout
{
    /// <summary>Fewest arms.</summary>
    public const int FewestArms = 3;

    /// <summary>Most arms.</summary>
    public const int MostArms = 16;

    /// <summary>Evenly spaced arms, in clockwise order from the nose.</summary>
    /// <param name="arms">Number of arms, 3 to 16.</param>
    /// <param name="layout">Where the nose is; not <see cref="ArmLayout.Rectangle"/>.</param>
    /// <param name="armM">Hub's centre to motor axis, metres, above 0.</param>
    /// <returns>Direction, degrees clockwise from the nose, and length of each arm.</returns>
    public static IReadOnlyList<(double AzimuthDeg, double ArmM)> Even(int arms, ArmLayout layout, double armM)
    {
        ArgumentOutOfRangeException.ThrowIfLessThan(arms, FewestArms);
        ArgumentOutOfRangeException.ThrowIfGreaterThan(arms, MostArms);
        Require.Positive(armM);
        double step = 360.0 / arms,
            first = layout == ArmLayout.NoseOnArm ? 0 : step / 2;
        return [.. Enumerable.Range(0, arms).Select(i => (Math.Round(first + i * step, 4), armM))];
    }

    /// <summary>Four arms to the corners of a rectangle, in clockwise order from the nose.</summary>
    /// <param name="wideM">Distance between the left and the right motors, metres, above 0.</param>
    /// <param name="longM">Distance between the front and the rear motors, metres, above 0.</param>
    public static IReadOnlyList<(double AzimuthDeg, double ArmM)> Rectangle(double wideM, double longM)
    {
        double arm = Math.Round(Math.Sqrt(Require.Positive(wideM) * wideM + Require.Positive(longM) * longM) / 2, 5);
        double front = Math.Round(double.RadiansToDegrees(Math.Atan2(wideM, longM)), 3);
        return [(front, arm), (180 - front, arm), (180 + front, arm), (360 - front, arm)];
    }

    /// <summary>Motors on arms: one each, or an upper and a lower one that turn against each other.</summary>
    /// <param name="arms">Arms in clockwise order from the nose.</param>
    /// <param name="coaxial">Two motors an arm.</param>
    /// <param name="ids">Ids in that order, of a pair the upper one first; null for M1, M2 and on.</param>
    /// <param name="spins">Spins in that order; one alone is that of the first motor, and the arms then alternate.</param>
    /// <param name="blades">Blades of each rotor.</param>
    /// <param name="polePairs">Magnet pole pairs; null when not known.</param>
    /// <exception cref="ArgumentException">Ids or spins do not fit the number of motors.</exception>
    public static IReadOnlyList<Motor> Motors(
        IReadOnlyList<(double AzimuthDeg, double ArmM)> arms,
        bool coaxial,
        IReadOnlyList<string>? ids,
        IReadOnlyList<Spin> spins,
        int blades,
        int? polePairs
    )
    {
        int each = coaxial ? 2 : 1,
            count = each * arms.Count;
        if ((ids is not null && ids.Count != count) || (spins.Count != 1 && spins.Count != count))
        {
            throw new ArgumentException(
                $"{count} motors need as many ids, and one spin or as many",
                ids is not null && ids.Count != count ? nameof(ids) : nameof(spins)
            );
        }

        return
        [
            .. Enumerable
                .Range(0, count)
                .Select(i => new Motor(
                    ids?[i] ?? $"M{i + 1}",
                    arms[i / each].AzimuthDeg,
                    arms[i / each].ArmM,
                    SpinOf(i),
                    !coaxial ? MotorLevel.Single
                        : i % 2 == 0 ? MotorLevel.Upper
                        : MotorLevel.Lower,
                    blades,
                    polePairs
                )),
        ];

        Spin SpinOf(int i) =>
            spins.Count > 1 ? spins[i]
            : (i / each + i % each) % 2 == 0 ? spins[0]
            : Opposite(spins[0]);
    }

    private static Spin Opposite(Spin spin) => spin == Spin.Clockwise ? Spin.CounterClockwise : Spin.Clockwise;
}
