namespace VibeCheck.Core.Surveys;

/// <summary>The side that is low, seen from the hub looking out along the arm.</summary>
public enum LowSide
{
    /// <summary>Neither.</summary>
    Level,

    /// <summary>Right.</summary>
    Right,

    /// <summary>Left.</summary>
    Left,

    /// <summary>Towards the hub.</summary>
    In,

    /// <summary>Away from the hub.</summary>
    Out,
}
