using VibeCheck.Logs.Columns;

namespace VibeCheck.Logs.Tests.Columns;

public class UnitFactTests
{
    // Abramowitz and Stegun, table 2.5: °F = 32 + 9/5 °C exactly; the pair 77/25 also in Newport's conversion charts.
    [Theory]
    [InlineData(212, 100)]
    [InlineData(77, 25)]
    [InlineData(-40, -40)]
    public void Fahrenheit_becomes_celsius(double fahrenheit, double celsius) =>
        Assert.Equal(celsius, UnitTable.Find("°F", Quantity.MotorTemp)!.ToTool(fahrenheit), 1e-12);

    // Abramowitz and Stegun, table 2.4; SI Brochure: standard gravity is 9.80665 m/s² exactly.
    [Theory]
    [InlineData("g", 1, 9.80665)]
    [InlineData("mg", 1000, 9.80665)]
    [InlineData("µg", 1e6, 9.80665)]
    public void Gravity_is_the_standard_one(string unit, double value, double mps2) =>
        Assert.Equal(mps2, UnitTable.Find(unit, Quantity.Acceleration)!.ToTool(value), 1e-12);

    // Abramowitz and Stegun, table 2.5: a foot is 0.3048 m exactly.
    [Fact]
    public void Foot_is_exact() => Assert.Equal(0.3048, UnitTable.Find("ft", Quantity.Height)!.ToTool(1));

    // A full turn is 2π rad and 360°; a minute is 60 s: definitions of the SI.
    [Theory]
    [InlineData("Hz", 50, 3000)]
    [InlineData("rad/s", 2 * Math.PI, 60)]
    [InlineData("deg/s", 360, 60)]
    [InlineData("krpm", 3, 3000)]
    public void Speeds_become_turns_a_minute(string unit, double value, double rpm) =>
        Assert.Equal(rpm, UnitTable.Find(unit, Quantity.RotorSpeed)!.ToTool(value), 1e-9);

    [Theory]
    [InlineData("deg/s", 180)]
    [InlineData("mdeg/s", 180_000)]
    public void Rates_become_radians(string unit, double value) =>
        Assert.Equal(Math.PI, UnitTable.Find(unit, Quantity.Rate)!.ToTool(value), 1e-12);

    // Common practice: 1000 µs is stop, 2000 µs is full command.
    [Fact]
    public void Pulse_width_becomes_a_share()
    {
        Unit pulse = UnitTable.Find("us", Quantity.Command)!;
        Assert.Equal(0, pulse.ToTool(1000), 1e-12);
        Assert.Equal(0.5, pulse.ToTool(1500), 1e-12);
        Assert.Equal(1, pulse.ToTool(2000), 1e-12);
    }

    // 0 °C is 273.15 K exactly: SI Brochure.
    [Fact]
    public void Kelvin_becomes_celsius() => Assert.Equal(0, UnitTable.Find("K", Quantity.EscTemp)!.ToTool(273.15), 1e-12);
}
