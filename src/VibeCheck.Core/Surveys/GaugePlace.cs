namespace VibeCheck.Core.Surveys;

/// <summary>What the gauge stood on.</summary>
public enum GaugePlace
{
    /// <summary>The frame: the reference.</summary>
    Frame,

    /// <summary>The motor mount.</summary>
    Mount,
}
