namespace VibeCheck.Core.Surveys;

/// <summary>How the tilt of a mount stands to a tolerance, its uncertainty counted.</summary>
public enum MountStanding
{
    /// <summary>No direction was read.</summary>
    NotKnown,

    /// <summary>The whole interval lies inside the tolerance.</summary>
    InTolerance,

    /// <summary>The whole interval lies outside.</summary>
    OutOfTolerance,

    /// <summary>The interval reaches across the limit, or there is none.</summary>
    Undecided,
}
