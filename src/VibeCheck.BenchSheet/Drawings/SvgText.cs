using System.Globalization;
using Microsoft.AspNetCore.Components;
using Microsoft.AspNetCore.Components.Rendering;

namespace VibeCheck.BenchSheet.Drawings;

/// <summary>A text in a drawing; the tag of that name has another meaning in Razor.</summary>
public sealed class SvgText : ComponentBase
{
    /// <summary>From the left.</summary>
    [Parameter]
    public double X { get; set; }

    /// <summary>Baseline, from the top.</summary>
    [Parameter]
    public double Y { get; set; }

    /// <summary>Its class in sheet.css; null for none.</summary>
    [Parameter]
    public string? Class { get; set; }

    /// <summary>The text.</summary>
    [Parameter]
    public string? Value { get; set; }

    /// <inheritdoc/>
    protected override void BuildRenderTree(RenderTreeBuilder builder)
    {
        ArgumentNullException.ThrowIfNull(builder);
        builder.OpenElement(0, "text");
        builder.AddAttribute(1, "x", X.ToString("0.##", CultureInfo.InvariantCulture));
        builder.AddAttribute(2, "y", Y.ToString("0.##", CultureInfo.InvariantCulture));
        builder.AddAttribute(3, "class", Class);
        builder.AddContent(4, Value);
        builder.CloseElement();
    }
}
