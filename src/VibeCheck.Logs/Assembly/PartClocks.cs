using VibeCheck.Core.Airframes;
using VibeCheck.Core.Quality;
using VibeCheck.Core.Signals;
using VibeCheck.Core.Tracks;

namespace VibeCheck.Logs.Assembly;

/// <summary>Whether the IMU's clock jumped against the ESC recorder's in flight: a gap in the stamps that is longer or shorter than the
/// time that passed.</summary>
internal static class PartClocks
{
    // Shorter parts show no offset of their own; shorter gaps are lost rows.
    private const double LeastPartS = 12,
        LeastGapS = 0.1;

    // How far a part may be off, and by how much it must be, beside three times its uncertainty.
    private const double ReachS = 10,
        LeastJumpS = 0.15;

    /// <summary>A jump, withheld, where one of the parts of the IMU's record follows the
    /// reported speeds at another offset than 0.</summary>
    internal static IEnumerable<QualityIssue> Of(ImuTrack track, IReadOnlyList<MotorTrack> motors, Airframe? airframe)
    {
        List<List<ContiguousSegment>> parts = Parts(track);
        RotorSpeed[] rotors =
        [
            .. motors.Where(m => m.Rpm is not null).Select(m => new RotorSpeed(m.MotorId, m.Rpm!, airframe?.Find(m.MotorId)?.Blades ?? 2)),
        ];
        if (parts.Count < 2 || rotors.Length == 0)
        {
            yield break;
        }

        foreach (List<ContiguousSegment> part in parts.Where(p => p[^1].EndS - p[0].StartS > LeastPartS))
        {
            ClockAlignment found = RecorderAlignment.Find(Slice(track, part), rotors, new(0, ReachS));
            if (found is { OffsetS: double offsetS, U95S: double u95S } && Math.Abs(offsetS) > Math.Max(LeastJumpS, 3 * u95S))
            {
                yield return new()
                {
                    Cause = new ClockJumps(offsetS, part[0].StartS),
                    Track = "clock",
                    Effect = QualityEffect.Withheld,
                    Affects = Answers.Vibration,
                    When = new TimeInterval(part[0].StartS, part[^1].EndS),
                };
                yield break;
            }
        }
    }

    /// <summary>The alignment of the longest part alone, where the record has several: the others may be off by a jump.</summary>
    internal static ClockAlignment? OfLongest(ImuTrack track, IReadOnlyList<RotorSpeed> rotors, AlignmentSearch search)
    {
        List<List<ContiguousSegment>> parts = Parts(track);
        List<ContiguousSegment> longest = parts.MaxBy(p => p[^1].EndS - p[0].StartS)!;
        return parts.Count > 1 && longest[^1].EndS - longest[0].StartS > LeastPartS
            ? RecorderAlignment.Find(Slice(track, longest), rotors, search)
            : null;
    }

    private static List<List<ContiguousSegment>> Parts(ImuTrack track)
    {
        List<List<ContiguousSegment>> parts = [];
        foreach (ContiguousSegment block in track.Blocks)
        {
            if (parts.Count == 0 || block.StartS - parts[^1][^1].EndS > LeastGapS)
            {
                parts.Add([]);
            }

            parts[^1].Add(block);
        }

        return parts;
    }

    private static ImuTrack Slice(ImuTrack track, List<ContiguousSegment> part)
    {
        int first = part[0].FirstSample,
            count = part[^1].FirstSample + part[^1].SampleCount - first;
        return track with
        {
            Blocks = [.. part.Select(b => b with { FirstSample = b.FirstSample - first })],
            AccXMps2 = track.AccXMps2[first..(first + count)],
            AccYMps2 = track.AccYMps2[first..(first + count)],
            AccZMps2 = track.AccZMps2[first..(first + count)],
            RateXRadps = null,
            RateYRadps = null,
            RateZRadps = null,
        };
    }
}
