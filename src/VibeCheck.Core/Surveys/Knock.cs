namespace VibeCheck.Core.Surveys;

/// <summary>Before or after a knock on the arm.</summary>
public enum Knock
{
    /// <summary>Not part of a knock test, or before the knock.</summary>
    Before,

    /// <summary>After the arm was knocked.</summary>
    After,
}
