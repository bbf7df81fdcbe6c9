namespace VibeCheck.Logs.Inputs;

/// <summary>A fault that stops a file from being used, with its place and a remedy.</summary>
/// <param name="File">Path as the user gave it.</param>
/// <param name="Line">Line, counted from 1; null where the whole file is meant.</param>
/// <param name="Column">Column or field, counted from 1; null where the whole line is meant.</param>
/// <param name="Problem">What is wrong, with the text found there, cut to a readable length.</param>
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
        return $"{place}: {Problem}{(Problem.EndsWith('?') ? "" : ".")} {Remedy}";
    }
}

/// <summary>Carries one or more <see cref="InputFault"/>s of a file to the command, which ends with exit code 3.</summary>
public sealed class InputFaultException : Exception
{
    /// <summary>One fault, or the first of several.</summary>
    /// <param name="first">The first fault.</param>
    /// <param name="more">The others in the order of the file.</param>
    public InputFaultException(InputFault first, params IReadOnlyList<InputFault> more)
        : base(string.Join('\n', more.Prepend(first))) => Faults = [first, .. more];

    /// <summary>The first fault.</summary>
    public InputFault Fault => Faults[0];

    /// <summary>All faults of a file, in its order; one or more.</summary>
    public IReadOnlyList<InputFault> Faults { get; }
}
