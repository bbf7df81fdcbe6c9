using System.Text;

namespace VibeCheck.Logs.Text;

/// <summary>A cell or row that could not be used.</summary>
/// <param name="Line">Line of the file, from 1.</param>
/// <param name="Column">Column, from 1; null where the whole row is meant.</param>
/// <param name="Text">The text found, cut to a length that a message can show.</param>
/// <param name="Problem">What is wrong with it; follows the text in a sentence.</param>
internal sealed record BadCell(int Line, int? Column, string Text, string Problem);

/// <summary>Keeps the first few unusable cells and rows of a log, to show them in messages.</summary>
internal sealed class BadCellExamples
{
    private const int MostExamples = 8;
    private const int MostBytes = 80;

    private readonly List<BadCell> _examples = [];

    /// <summary>The examples so far, in the order of the file.</summary>
    internal IReadOnlyList<BadCell> All => _examples;

    /// <param name="line">Line of the file, from 1.</param>
    /// <param name="column">Index of the column, from 0; null where the whole row is meant.</param>
    /// <param name="text">The text found.</param>
    /// <param name="problem">What is wrong with it.</param>
    internal void Add(int line, int? column, ReadOnlySpan<byte> text, string problem)
    {
        if (_examples.Count < MostExamples)
        {
            string shown = Encoding.Latin1.GetString(text[..Math.Min(text.Length, MostBytes)]);
            _examples.Add(new(line, column + 1, CellText.Cut(shown), problem));
        }
    }
}
