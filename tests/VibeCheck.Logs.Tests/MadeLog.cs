using System.Text;
using VibeCheck.Core.Tracks;
using VibeCheck.Logs.Columns;
using VibeCheck.Logs.Flights;

namespace VibeCheck.Logs.Tests;

/// <summary>Writes small logs row by row into a temporary folder.</summary>
internal sealed class MadeLog : IDisposable
{
    internal const string ImuHeader = "time_s,acc_x_mps2,acc_y_mps2,acc_z_mps2\n";

    private readonly string _folder = Directory.CreateTempSubdirectory("vibecheck-made-").FullName;

    public void Dispose() => Directory.Delete(_folder, recursive: true);

    /// <summary>Writes a file; each row is made from its number.</summary>
    internal string Save(string name, string header, int rows, Func<int, FormattableString> row)
    {
        var text = new StringBuilder(header);
        for (int i = 0; i < rows; i++)
        {
            text.Append(FormattableString.Invariant(row(i))).Append('\n');
        }

        string path = Path.Combine(_folder, name);
        File.WriteAllText(path, text.ToString());
        return path;
    }

    internal static FileRecord Look(string path, ReadOptions? options = null) =>
        LogInspection.Read([path], options ?? ReadOptions.Default, TestContext.Current.CancellationToken)[0];

    internal static Flight Fly(IReadOnlyList<string> imu, IReadOnlyList<string> esc, ReadOptions? options = null) =>
        FlightReader.Read(new(imu, esc), options ?? ReadOptions.Default, Flights.Hexa, TestContext.Current.CancellationToken);

    /// <summary>Acceleration along an axis: a 40 Hz vibration with a little noise that is the same in every run.</summary>
    internal static double Shake(int row, double timeS, int axis, double size = 2)
    {
        double hash = Math.Sin(row * 12.9898 + axis * 78.233) * 43758.5453;
        return size * Math.Sin(Math.Tau * 40 * timeS + axis) + 0.1 * (hash - Math.Floor(hash) - 0.5);
    }

    /// <summary>A typical IMU row at a time, with a timestamp.</summary>
    internal static FormattableString Imu(int row, double timeS, double stampS) =>
        $"{stampS:F6},{Shake(row, timeS, 0):F4},{Shake(row, timeS, 1):F4},{Shake(row, timeS, 2) - 9.80665:F4}";
}
