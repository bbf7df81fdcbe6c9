using System.Globalization;
using VibeCheck.Core.Statistics;
using VibeCheck.Core.Tracks;

namespace VibeCheck.Logs.Checks;

/// <summary>What is wrong with ESC telemetry: reports that stop or repeat, rotors too fast for the IMU's rate.</summary>
internal static class TelemetryHealth
{
    private const double StaleS = 3;
    private const double DropoutS = 1;

    /// <param name="motors">What was reported.</param>
    /// <param name="imuRateHz">Rate of the IMU; null where it or the speeds in turns of the rotor are not known.</param>
    internal static IEnumerable<Warning> Of(IReadOnlyList<MotorTrack> motors, double? imuRateHz)
    {
        foreach (MotorTrack motor in motors.Where(m => m.Rpm is { Count: > 20 }))
        {
            (double stale, double at) = LongestRepeat(motor.Rpm!);
            if (stale > StaleS)
            {
                yield return new(
                    "telemetry-stale",
                    string.Create(
                        CultureInfo.InvariantCulture,
                        $"{motor.MotorId}: the reported speed does not change for {stale:0.0} s from {at:0.0} s on while the rotor "
                            + $"turns: telemetry hung."
                    )
                );
            }

            (double gap, double from) = LongestGap(motor.Rpm!);
            if (gap > DropoutS)
            {
                yield return new(
                    "telemetry-dropout",
                    string.Create(
                        CultureInfo.InvariantCulture,
                        $"{motor.MotorId}: no speed was reported for {gap:0.0} s from {from:0.0} s on."
                    )
                );
            }
        }

        double fastest = motors.Select(m => m.Rpm).Where(r => r is { Count: > 0 }).Select(r => Fast(r!)).DefaultIfEmpty(0).Max();
        if (fastest / 60 > imuRateHz / 2)
        {
            yield return new(
                "rate-too-low",
                string.Create(
                    CultureInfo.InvariantCulture,
                    $"Rotors turn up to {fastest / 60:0} times a second, the IMU is logged at {imuRateHz:0} Hz: all orders are seen "
                        + $"folded (aliased), weakened by the logger's filter."
                )
            );
        }
    }

    /// <summary>A speed that is reached for a tenth of the readings.</summary>
    private static double Fast(Series rpm)
    {
        double[] speeds = [.. rpm.Values];
        return Selection.Take(speeds, (int)(0.9 * (speeds.Length - 1)));
    }

    private static (double Seconds, double FromS) LongestRepeat(Series rpm)
    {
        double longest = 0,
            at = 0;
        int start = 0;
        for (int i = 1; i < rpm.Count; i++)
        {
            if (rpm.Values[i] != rpm.Values[i - 1])
            {
                start = i;
            }
            else if (rpm.Values[i] > 300 && rpm.TimeS[i] - rpm.TimeS[start] > longest)
            {
                (longest, at) = (rpm.TimeS[i] - rpm.TimeS[start], rpm.TimeS[start]);
            }
        }

        return (longest, at);
    }

    private static (double Seconds, double FromS) LongestGap(Series rpm)
    {
        double longest = 0,
            at = 0;
        for (int i = 1; i < rpm.Count; i++)
        {
            double gap = rpm.TimeS[i] - rpm.TimeS[i - 1];
            (longest, at) = gap > longest ? (gap, rpm.TimeS[i - 1]) : (longest, at);
        }

        return (longest, at);
    }
}
