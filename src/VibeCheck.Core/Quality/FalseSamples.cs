using VibeCheck.Core.Statistics;

namespace VibeCheck.Core.Quality;

/// <summary>Which faults of an IMU's samples add power that is no vibration of the aircraft. The lines of the rotors lose little by them,
/// and stay known.</summary>
public static class FalseSamples
{
    // Fewer spikes than one in this time are chance (common practice).
    private const double SecondsPerSpike = 10;

    /// <summary>Whether total vibration and its parts are not known with this cause: spikes or fillers were left out, and smaller ones
    /// remain.</summary>
    public static bool HideTotal(Reason cause) =>
        cause is FillersLeftOut || (cause is SpikesLeftOut spikes && spikes.Count > spikes.Seconds / SecondsPerSpike);

    /// <summary>Whether broadband vibration and knocks are not known with this cause: also what samples that were filled, or are out of
    /// place, take from the lines counts as these.</summary>
    public static bool HideBroadband(Reason cause) =>
        HideTotal(cause)
        || cause
            is SamplesFilled
                or SamplesMissing
                or SamplesHeld
                or SamplesInterpolated
                or PhaseBroken
                or SamplesTakenUnevenly
                or SampleRatesDiffer;
}
