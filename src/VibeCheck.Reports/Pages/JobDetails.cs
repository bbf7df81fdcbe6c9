namespace VibeCheck.Reports.Pages;

/// <summary>Details for the head of a report; each is null where it was not given.</summary>
/// <param name="Tail">Tail number or registration of the aircraft.</param>
/// <param name="Serial">Its serial number.</param>
/// <param name="WorkOrder">Number of the work order.</param>
/// <param name="Customer">Owner of the aircraft.</param>
public sealed record JobDetails(string? Tail, string? Serial, string? WorkOrder, string? Customer)
{
    /// <summary>Names and values of what was given.</summary>
    internal IEnumerable<(string Name, string Value)> Given =>
        new[] { ("Tail", Tail), ("Serial number", Serial), ("Work order", WorkOrder), ("Customer", Customer) }
            .Where(d => !string.IsNullOrWhiteSpace(d.Item2))
            .Select(d => (d.Item1, d.Item2!));
}
