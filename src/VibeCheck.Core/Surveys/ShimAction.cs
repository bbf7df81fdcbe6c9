namespace VibeCheck.Core.Surveys;

/// <summary>What to do at a motor.</summary>
public enum ShimAction
{
    /// <summary>Surely out of tolerance: shim it.</summary>
    Shim,

    /// <summary>Surely in tolerance, or no shim would make it better: leave it.</summary>
    Leave,

    /// <summary>The readings do not decide it, or there are none: measure again.</summary>
    MeasureAgain,
}
