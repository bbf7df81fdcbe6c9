namespace VibeCheck.Reports.Drawings;

/// <summary>The colours of the tool, each with one meaning. Hues: Okabe and Ito, Color Universal Design, 2008.</summary>
/// <remarks>Hues fill marks; text beside them is in <see cref="Ink"/> or <see cref="Soft"/>, which meet WCAG AA on white.</remarks>
public static class Palette
{
    /// <summary>Text and axes.</summary>
    public const string Ink = "#1b2027";

    /// <summary>Secondary text; contrast 7.2 : 1 on white.</summary>
    public const string Soft = "#4f5863";

    /// <summary>Grid and frames.</summary>
    public const string Line = "#d5d9de";

    /// <summary>Measured data, before (open, thin) and after (filled, thick).</summary>
    public const string Data = "#0072b2";

    /// <summary>A change for the better.</summary>
    public const string Better = "#009e73";

    /// <summary>A change for the worse.</summary>
    public const string Worse = "#d55e00";

    /// <summary>No clear change.</summary>
    public const string Same = "#6c7480";
}
