namespace VibeCheck.Core.Surveys;

/// <summary>The surface under the gauge.</summary>
public enum GaugePlace
{
    /// <summary>The frame: the reference.</summary>
    Frame,

    /// <summary>The motor mount.</summary>
    Mount,
}
