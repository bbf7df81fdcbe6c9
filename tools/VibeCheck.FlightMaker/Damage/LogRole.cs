namespace VibeCheck.FlightMaker.Damage;

/// <summary>Quantity in a column of a log.</summary>
public enum LogRole
{
    Time,
    AccX,
    AccY,
    AccZ,
    RateX,
    RateY,
    RateZ,
    Rpm,
    Command,
    Current,
    MotorTemp,
    EscTemp,
}
