namespace VibeCheck.Core.Surveys;

/// <summary>What a further reading is good for.</summary>
public enum ReadingPurpose
{
    /// <summary>The place was not read yet.</summary>
    FirstReading,

    /// <summary>Nothing in the survey was read twice, and the repeatability of the gauge decides here.</summary>
    Repeatability,

    /// <summary>It decides between in and out of tolerance.</summary>
    Tolerance,

    /// <summary>It decides between two thicknesses of shim.</summary>
    Thickness,
}
