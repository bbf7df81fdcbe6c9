namespace VibeCheck.Core.Airframes;

/// <summary>Where a motor sits on its arm.</summary>
public enum MotorLevel
{
    /// <summary>The only motor on its arm.</summary>
    Single,

    /// <summary>The upper motor of a coaxial pair.</summary>
    Upper,

    /// <summary>The lower motor of a coaxial pair: it hangs, so its shims go to the side opposite to the upper one's.</summary>
    Lower,
}
