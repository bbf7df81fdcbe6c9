namespace VibeCheck.Core.Surveys;

/// <summary>The tilt of a mount compared with a tolerance, including its uncertainty.</summary>
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
