namespace VibeCheck.Core.Statistics;

/// <summary>There is no measurement of the amount.</summary>
public sealed record NotMeasured : Reason;

/// <summary>No interval of the amount is known.</summary>
public sealed record NoIntervalKnown : Reason;
