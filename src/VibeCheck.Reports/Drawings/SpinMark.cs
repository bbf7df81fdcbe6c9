using VibeCheck.Core.Airframes;
using VibeCheck.Reports.Html;

namespace VibeCheck.Reports.Drawings;

/// <summary>A small arrow that turns as the rotor does, seen from above.</summary>
public static class SpinMark
{
    /// <summary>The arrow around a point, about 14 units wide.</summary>
    public static Markup Draw(double x, double y, Spin spin)
    {
        // An arc with a head, drawn clockwise; mirrored for the other direction.
        string turn = spin == Spin.Clockwise ? "" : " scale(-1 1)";
        string name = spin == Spin.Clockwise ? "turns clockwise" : "turns counter-clockwise";
        return Markup.Of(
            $"""<g transform="translate({x} {y}){turn}"><title>{name}</title><path d="M-5 -2A5.4 5.4 0 1 1 -2 5" fill="none" """
                + $"""stroke="{Palette.Soft}" stroke-width="1.4"/><path d="M-5.6 3.4L0 1.6L-0.6 7.6z" fill="{Palette.Soft}"/></g>"""
        );
    }
}
