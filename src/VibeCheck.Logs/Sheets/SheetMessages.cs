namespace VibeCheck.Logs.Sheets;

/// <summary>What a bench sheet gets of its job from the server (<c>vibecheck.sheet-job/1</c>).</summary>
public sealed record SheetJob
{
    /// <summary>Name and version of this form.</summary>
    public const string SchemaName = "vibecheck.sheet-job/1";

    /// <summary>Name and version of the form.</summary>
    public string Schema { get; init; } = SchemaName;

    /// <summary>Stays the same for one job and differs between jobs; null where no server keeps what is entered.</summary>
    public required string? Job { get; init; }

    /// <summary>What the user calls the job; null for nothing.</summary>
    public string? Title { get; init; }

    /// <summary>Text of airframe.toml; null where there is none.</summary>
    public string? AirframeToml { get; init; }

    /// <summary>Tolerance of a mount's tilt, degrees; null for the usual one.</summary>
    public double? ToleranceDeg { get; init; }

    /// <summary>To be sent back with entries, in the header <c>X-VibeCheck-Token</c>; null for none.</summary>
    public string? Token { get; init; }

    /// <summary>Everything that was entered, on this sheet or elsewhere.</summary>
    public IReadOnlyList<SheetEntry> Entries { get; init; } = [];
}

/// <summary>Entries on their way to the server (<c>vibecheck.sheet-entries/1</c>).</summary>
/// <param name="Job">The job that they belong to.</param>
/// <param name="Entries">The entries in the order they were made.</param>
public sealed record SheetEntries(string Job, IReadOnlyList<SheetEntry> Entries)
{
    /// <summary>Most entries in one request.</summary>
    public const int MostAtOnce = 200;

    /// <summary>Name and version of the form.</summary>
    public string Schema { get; init; } = "vibecheck.sheet-entries/1";
}

/// <summary>What the server did with entries (<c>vibecheck.sheet-receipt/1</c>).</summary>
/// <param name="Accepted">Ids that the server now has on disk, also those that it had before.</param>
/// <param name="Refused">Entries that it will never take.</param>
public sealed record SheetReceipt(IReadOnlyList<Guid> Accepted, IReadOnlyList<RefusedEntry> Refused)
{
    /// <summary>Name and version of the form.</summary>
    public string Schema { get; init; } = "vibecheck.sheet-receipt/1";
}

/// <summary>An entry that the server will never take.</summary>
/// <param name="Id">The entry.</param>
/// <param name="Why">Why, as a plain sentence.</param>
public sealed record RefusedEntry(Guid Id, string Why);
