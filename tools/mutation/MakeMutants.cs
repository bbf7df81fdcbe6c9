using System.Reflection;

namespace VibeCheck.Core.Tests;

/// <summary>Stands alone in place of the tests while the mutants are made: keeps the mutated library, which is taken away at the end.</summary>
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
