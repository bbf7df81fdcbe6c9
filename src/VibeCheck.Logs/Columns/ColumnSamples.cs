namespace VibeCheck.Logs.Columns;

/// <summary>What stands at the top of a log, for a person who has to say what its columns are.</summary>
/// <param name="HasHeader">Whether a header names the columns.</param>
/// <param name="Values">First different values of each column, as they stand there.</param>
/// <param name="Guesses">What columns look like whose header does not say what they are.</param>
public sealed record ColumnSamples(bool HasHeader, IReadOnlyList<IReadOnlyList<string>> Values, IReadOnlyList<ColumnGuess> Guesses)
{
    /// <summary>Values that are shown of a column.</summary>
    public const int Most = 4;
}
