namespace VibeCheck.Core.Surveys;

/// <summary>Along which line the gauge lay.</summary>
public enum TiltDirection
{
    /// <summary>Across the arm, right to left.</summary>
    Across,

    /// <summary>Along the arm, in to out.</summary>
    Along,
}
