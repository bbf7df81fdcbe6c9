using ScottPlot;
using SkiaSharp;

namespace VibeCheck.Reports.Figures;

/// <summary>The font that comes with the tool, for figures and pages; fonts installed on the machine are not used.</summary>
internal sealed class ChartFont : IFontResolver
{
    internal const string Family = "Inter";

    private static readonly Lazy<bool> _registered = new(Register);
    private static readonly Lazy<SKTypeface> _regular = new(() => Load("Inter-Regular.ttf"));
    private static readonly Lazy<SKTypeface> _semiBold = new(() => Load("Inter-SemiBold.ttf"));

    /// <summary>Makes the charts of this process use the font. May be called repeatedly and from any thread.</summary>
    internal static void Use() => _ = _registered.Value;

    /// <summary>A resource of the assembly by its name, such as a font file.</summary>
    internal static byte[] File(string name)
    {
        using Stream resource =
            typeof(ChartFont).Assembly.GetManifestResourceStream(name) ?? throw new InvalidOperationException($"the assembly lacks {name}");
        byte[] bytes = new byte[resource.Length];
        resource.ReadExactly(bytes);
        return bytes;
    }

    /// <inheritdoc/>
    public SKTypeface? CreateTypeface(string fontName, FontWeight weight, FontSlant slant, FontSpacing spacing) =>
        fontName == Family ? (weight >= FontWeight.SemiBold ? _semiBold : _regular).Value : null;

    /// <inheritdoc/>
    public SKTypeface? CreateTypeface(string fontName, bool bold, bool italic) =>
        CreateTypeface(fontName, bold ? FontWeight.Bold : FontWeight.Normal, FontSlant.Upright, FontSpacing.Normal);

    private static bool Register()
    {
        Fonts.FontResolvers.Insert(0, new ChartFont());
        Fonts.Default = Family;
        return true;
    }

    private static SKTypeface Load(string name)
    {
        using SKData data = SKData.CreateCopy(File(name));
        return SKTypeface.FromData(data);
    }
}
