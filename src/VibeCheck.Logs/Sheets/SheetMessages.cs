namespace VibeCheck.Logs.Sheets;

/// <summary>What a bench sheet receives about its job from the server (<c>vibecheck.sheet-job/1</c>).</summary>
public sealed record SheetJob
{
    /// <summary>Name and version of this form.</summary>
    public const string SchemaName = "vibecheck.sheet-job/1";

    /// <summary>Name and version of the form.</summary>
    public string Schema { get; init; } = SchemaName;

    /// <summary>Constant for one job and different between jobs; null where no server stores the entries.</summary>
    public required string? Job { get; init; }

    /// <summary>The user's name for the job; null for none.</summary>
    public string? Title { get; init; }

    /// <summary>Text of airframe.toml; null where there is none.</summary>
    public string? AirframeToml { get; init; }

    /// <summary>Tolerance of a mount's tilt, degrees; null for the usual one.</summary>
    public double? ToleranceDeg { get; init; }

    /// <summary>To be sent back with entries, in the header <c>X-VibeCheck-Token</c>; null for none.</summary>
    public string? Token { get; init; }

    /// <summary>All entries, made on this sheet or elsewhere.</summary>
    public IReadOnlyList<SheetEntry> Entries { get; init; } = [];
}

/// <summary>Entries sent to the server (<c>vibecheck.sheet-entries/1</c>).</summary>
/// <param name="Job">The job that they belong to.</param>
/// <param name="Entries">The entries in the order they were made.</param>
public sealed record SheetEntries(string Job, IReadOnlyList<SheetEntry> Entries)
{
    /// <summary>Largest number of entries in one request.</summary>
    public const int MostAtOnce = 200;

    /// <summary>Name and version of the form.</summary>
    public string Schema { get; init; } = "vibecheck.sheet-entries/1";
}

/// <summary>The server's answer to entries (<c>vibecheck.sheet-receipt/1</c>).</summary>
/// <param name="Accepted">Ids that the server now has on disk, including those that it had before.</param>
/// <param name="Refused">Entries that it will never accept.</param>
public sealed record SheetReceipt(IReadOnlyList<Guid> Accepted, IReadOnlyList<RefusedEntry> Refused)
{
    /// <summary>Name and version of the form.</summary>
    public string Schema { get; init; } = "vibecheck.sheet-receipt/1";
}

/// <summary>An entry that the server will never accept.</summary>
/// <param name="Id">The entry.</param>
/// <param name="Why">The reason, as a plain sentence.</param>
public sealed record RefusedEntry(Guid Id, string Why);
