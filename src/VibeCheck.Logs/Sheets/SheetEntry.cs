using System.Text.Json.Serialization;
using VibeCheck.Core.Surveys;

namespace VibeCheck.Logs.Sheets;

/// <summary>One entry on a bench sheet. Entries are never changed; a later entry withdraws an earlier one.</summary>
/// <param name="Id">Made where it was entered; the same entry has the same id when it is sent twice.</param>
/// <param name="At">When it was entered.</param>
[JsonPolymorphic(TypeDiscriminatorPropertyName = "kind")]
[JsonDerivedType(typeof(ReadingEntry), "reading")]
[JsonDerivedType(typeof(WithdrawalEntry), "withdrawal")]
[JsonDerivedType(typeof(TickEntry), "tick")]
[JsonDerivedType(typeof(FittedEntry), "fitted")]
public abstract record SheetEntry(Guid Id, DateTimeOffset At);

/// <summary>A reading of the gauge.</summary>
/// <param name="Id">Its id.</param>
/// <param name="At">When it was entered.</param>
public sealed record ReadingEntry(Guid Id, DateTimeOffset At) : SheetEntry(Id, At)
{
    /// <summary>The motor; null for the frame read once at the hub.</summary>
    public required string? Motor { get; init; }

    /// <summary>As found or as left.</summary>
    [JsonConverter(typeof(WordConverter<SurveyTime>))]
    public required SurveyTime When { get; init; }

    /// <summary>Frame or mount.</summary>
    [JsonConverter(typeof(WordConverter<GaugePlace>))]
    public required GaugePlace Where { get; init; }

    /// <summary>Across or along the arm.</summary>
    [JsonConverter(typeof(WordConverter<TiltDirection>))]
    public required TiltDirection Direction { get; init; }

    /// <summary>The angle that the gauge showed, degrees; the lower value where the display alternated between two.</summary>
    public required double LowDeg { get; init; }

    /// <summary>The higher value where the display alternated, degrees; else the same.</summary>
    public required double HighDeg { get; init; }

    /// <summary>The low side.</summary>
    [JsonConverter(typeof(WordConverter<LowSide>))]
    public required LowSide LowSide { get; init; }

    /// <summary>Whether the gauge was turned end for end.</summary>
    public bool Turned { get; init; }

    /// <summary>Whether the arm was knocked before.</summary>
    public bool Knock { get; init; }

    /// <summary>Note of the surveyor; empty when there is none.</summary>
    public string Note { get; init; } = "";

    /// <summary>Shims under the motor, as in the column <c>shims</c> of survey.csv; null when not noted.</summary>
    public string? Shims { get; init; }
}

/// <summary>Withdraws a reading.</summary>
/// <param name="Id">Its own id.</param>
/// <param name="At">When it was entered.</param>
/// <param name="Of">Id of the reading.</param>
public sealed record WithdrawalEntry(Guid Id, DateTimeOffset At, Guid Of) : SheetEntry(Id, At);

/// <summary>A box that was ticked or unticked.</summary>
/// <param name="Id">Its id.</param>
/// <param name="At">When it was entered.</param>
/// <param name="Motor">The motor; null for a box of the whole aircraft.</param>
/// <param name="Box">The box.</param>
/// <param name="Ticked">Whether it is ticked now.</param>
public sealed record TickEntry(
    Guid Id,
    DateTimeOffset At,
    string? Motor,
    [property: JsonConverter(typeof(WordConverter<SheetBox>))] SheetBox Box,
    bool Ticked
) : SheetEntry(Id, At);

/// <summary>The shims under a motor, where they differ from the planned ones.</summary>
/// <param name="Id">Its own id.</param>
/// <param name="At">When it was entered.</param>
/// <param name="Motor">The motor.</param>
/// <param name="Shims">As in the column <c>shims</c> of survey.csv; null for those of the plan.</param>
public sealed record FittedEntry(Guid Id, DateTimeOffset At, string Motor, string? Shims) : SheetEntry(Id, At);
