namespace VibeCheck.Logs;

/// <summary>What stops a file from being used, said so that its owner can mend it.</summary>
/// <param name="File">Path as the user gave it.</param>
/// <param name="Line">Line, counted from 1; null where the whole file is meant.</param>
/// <param name="Column">Column or field, counted from 1; null where the whole line is meant.</param>
/// <param name="Problem">What is wrong, with the text that stood there (cut).</param>
/// <param name="Remedy">What to do.</param>
public sealed record InputFault(string File, int? Line, int? Column, string Problem, string Remedy)
{
    /// <inheritdoc/>
    public override string ToString()
    {
        string place = (Line, Column) switch
        {
            (int line, int column) => $"{File}: line {line}, column {column}",
            (int line, null) => $"{File}: line {line}",
            _ => File,
        };
        return $"{place}: {Problem}. {Remedy}";
    }
}

/// <summary>Carries an <see cref="InputFault"/> to the edge, where it becomes exit code 3.</summary>
public sealed class InputFaultException(InputFault fault) : Exception(fault.ToString())
{
    /// <summary>The fault.</summary>
    public InputFault Fault { get; } = fault;
}
