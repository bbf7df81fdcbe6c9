namespace VibeCheck.Workbench.Jobs;

/// <summary>job.toml names a file outside the folder of the job. Such a file is read, as the commands read it, but never written.</summary>
/// <param name="name">The file, relative to the folder.</param>
internal sealed class OutsideFolderException(string name)
    : IOException($"job.toml names {name}, which is outside this folder, and the workbench writes only inside it")
{
    /// <summary>What to do before the next attempt, in a few words.</summary>
    internal const string Remedy = "copy the file into the folder and name the copy in job.toml";
}
