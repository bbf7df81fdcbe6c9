namespace VibeCheck.Logs.Columns;

/// <summary>The first values of a log, shown to a person who has to say what its columns are.</summary>
/// <param name="HasHeader">Whether a header names the columns.</param>
/// <param name="Values">First different values of each column, as written in the log.</param>
/// <param name="Guesses">Guesses for columns whose header does not identify them.</param>
public sealed record ColumnSamples(bool HasHeader, IReadOnlyList<IReadOnlyList<string>> Values, IReadOnlyList<ColumnGuess> Guesses)
{
    /// <summary>Number of values shown per column.</summary>
    public const int Most = 4;
}
