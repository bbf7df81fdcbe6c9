namespace VibeCheck.Core.Surveys;

/// <summary>When a reading was taken.</summary>
public enum SurveyTime
{
    /// <summary>Before anything was done.</summary>
    AsFound,

    /// <summary>After shimming and tightening.</summary>
    AsLeft,
}
