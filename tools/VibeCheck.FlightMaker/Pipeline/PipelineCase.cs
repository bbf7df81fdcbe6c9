namespace VibeCheck.FlightMaker.Pipeline;

/// <summary>One run of the command line on damaged files.</summary>
/// <param name="Number">The number that makes this case, and no other.</param>
/// <param name="Args">The command with its options.</param>
/// <param name="Inputs">Files that the command may read; it must change none of them.</param>
/// <param name="What">What was damaged, in a few words each.</param>
public sealed record PipelineCase(int Number, IReadOnlyList<string> Args, IReadOnlyList<string> Inputs, IReadOnlyList<string> What)
{
    /// <summary>Size of all input files, bytes.</summary>
    public long InputBytes => Inputs.Sum(path => new FileInfo(path).Length);
}
