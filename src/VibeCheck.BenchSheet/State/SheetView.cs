using System.Text.Json.Serialization;
using VibeCheck.Core.Surveys;
using VibeCheck.Logs.Sheets;

namespace VibeCheck.BenchSheet.State;

/// <summary>The part of the sheet that is on the screen.</summary>
public enum Screen
{
    /// <summary>The plan of the aircraft with its motors.</summary>
    Aircraft,

    /// <summary>One motor.</summary>
    Motor,

    /// <summary>Settings and files.</summary>
    More,
}

/// <summary>What the surveyor sees and has typed so far; stored at every tap, so that a reload loses nothing.</summary>
public sealed record SheetView
{
    /// <summary>The screen.</summary>
    [JsonConverter(typeof(WordConverter<Screen>))]
    public Screen Screen { get; init; }

    /// <summary>The motor on the screen; null for the frame at the hub.</summary>
    public string? Motor { get; init; }

    /// <summary>As found or as left.</summary>
    [JsonConverter(typeof(WordConverter<SurveyTime>))]
    public SurveyTime When { get; init; }

    /// <summary>Whether the shims of the motor are on the screen, between its readings as found and as left.</summary>
    public bool Fitting { get; init; }

    /// <summary>The surface under the gauge.</summary>
    [JsonConverter(typeof(WordConverter<GaugePlace>))]
    public GaugePlace Where { get; init; }

    /// <summary>The direction that the gauge measures.</summary>
    [JsonConverter(typeof(WordConverter<TiltDirection>))]
    public TiltDirection Direction { get; init; }

    /// <summary>The angle typed so far.</summary>
    public string Typed { get; init; } = "";

    /// <summary>The message about the last tap; empty for none.</summary>
    public string Hint { get; init; } = "";

    /// <summary>Whether the gauge is a bull's-eye level: an angle and an hour instead of a side.</summary>
    public bool BullsEye { get; init; }

    /// <summary>Whether the gauge shows no side, which is then found with a trial shim.</summary>
    public bool Trial { get; init; }

    /// <summary>What the gauge showed without the trial shim; empty before.</summary>
    public string TrialPlain { get; init; } = "";

    /// <summary>What it showed with the trial shim under its left, or inner, end; empty before.</summary>
    public string TrialLeft { get; init; } = "";

    /// <summary>Whether the gauge is turned end for end.</summary>
    public bool Turned { get; init; }

    /// <summary>Whether the arm was knocked before this reading.</summary>
    public bool Knocked { get; init; }

    /// <summary>A note for the next reading.</summary>
    public string Note { get; init; } = "";

    /// <summary>Whether shims are shown in inches instead of millimetres.</summary>
    public bool Inch { get; init; }

    /// <summary>The place on the screen.</summary>
    [JsonIgnore]
    public WorkStep Step => new(Where, Direction);
}

[JsonSourceGenerationOptions(PropertyNamingPolicy = JsonKnownNamingPolicy.SnakeCaseLower)]
[JsonSerializable(typeof(SheetView))]
internal sealed partial class ViewJson : JsonSerializerContext;
