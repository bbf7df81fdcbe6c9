using System.Reflection;

namespace VibeCheck.Core.Tests;

/// <summary>The only test while the mutants are made: copies the mutated library, which is removed at the end.</summary>
public sealed class MakeMutants
{
    [Fact]
    public void The_mutated_library_is_kept()
    {
        Assembly core = typeof(TypedNumber).Assembly;
        if (core.GetTypes().Any(t => t.Name == "MutantControl"))
        {
            File.Copy(core.Location, Environment.GetEnvironmentVariable("VIBECHECK_MUTANTS")!, overwrite: true);
        }
    }
}
