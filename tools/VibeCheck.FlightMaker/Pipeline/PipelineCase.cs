namespace VibeCheck.FlightMaker.Pipeline;

/// <summary>One run of a command on damaged files.</summary>
/// <param name="Number">The number that generates this case.</param>
/// <param name="Args">The command with its options.</param>
/// <param name="Inputs">Files that the command may read but must not change.</param>
/// <param name="What">Short descriptions of the damage.</param>
public sealed record PipelineCase(int Number, IReadOnlyList<string> Args, IReadOnlyList<string> Inputs, IReadOnlyList<string> What)
{
    /// <summary>Size of all input files, bytes.</summary>
    public long InputBytes => Inputs.Sum(path => new FileInfo(path).Length);
}
