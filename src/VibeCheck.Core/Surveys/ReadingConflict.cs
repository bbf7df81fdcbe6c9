namespace VibeCheck.Core.Surveys;

/// <summary>Two readings of one place that cannot both be right: low on opposite sides by more than a gauge scatters.</summary>
/// <param name="First">The earlier one.</param>
/// <param name="Second">The later one.</param>
public sealed record ReadingConflict(GaugeReading First, GaugeReading Second)
{
    /// <summary>Opposite sides within this many degrees may be scatter about level.</summary>
    public const double ScatterAboutLevelDeg = 0.25;

    /// <summary>The first conflict in a survey, or null.</summary>
    public static ReadingConflict? Find(IReadOnlyList<GaugeReading> readings) => FindAll(readings).FirstOrDefault();

    /// <summary>The conflicts in a survey, the first one of each place.</summary>
    public static IEnumerable<ReadingConflict> FindAll(IReadOnlyList<GaugeReading> readings)
    {
        foreach (var group in GaugeAppraisal.Repeats(readings))
        {
            GaugeReading first = group.First();
            GaugeReading? other = group.FirstOrDefault(r =>
                r.SignedDeg * first.SignedDeg < 0 && Math.Abs(r.SignedDeg - first.SignedDeg) > ScatterAboutLevelDeg
            );
            if (other is not null)
            {
                yield return new(first, other);
            }
        }
    }
}
