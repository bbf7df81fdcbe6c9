using System.IO.Compression;
using VibeCheck.Logs.Inputs;
using VibeCheck.Logs.Text;

namespace VibeCheck.Logs.Tests.Text;

public sealed class CutGzTests : IDisposable
{
    private readonly string _folder = Directory.CreateTempSubdirectory().FullName;

    public void Dispose() => Directory.Delete(_folder, recursive: true);

    [Fact]
    public void A_packed_log_cut_off_anywhere_is_named_as_such()
    {
        long unpacked = 0;
        using var packed = new MemoryStream();
        using (var gz = new GZipStream(packed, CompressionLevel.Fastest, leaveOpen: true))
        {
            for (int i = 0; i < 20_000; i++)
            {
                byte[] line = System.Text.Encoding.ASCII.GetBytes($"{i},{i * 7919 % 10007},{i * 104729L % 9973}\n");
                gz.Write(line);
                unpacked += line.Length;
            }
        }

        byte[] whole = packed.ToArray();
        string path = Path.Combine(_folder, "cut.csv.gz");
        File.WriteAllBytes(path, whole);
        Assert.Equal(unpacked, LengthOf(path));

        // Two separately packed recordings joined together are one gz file (RFC 1952, section 2.2).
        File.WriteAllBytes(path, [.. whole, .. whole]);
        Assert.Equal(2 * unpacked, LengthOf(path));
        foreach (int keep in (int[])[20, 300, whole.Length / 3, whole.Length - 4000, whole.Length - 9, whole.Length - 8, whole.Length - 1])
        {
            File.WriteAllBytes(path, whole[..keep]);
            Assert.Equal(
                (keep, "the packed file is cut off: it ends in the middle of its data"),
                (keep, Assert.Throws<InputFaultException>(() => LengthOf(path)).Fault.Problem)
            );
            File.WriteAllBytes(path, [.. whole, .. whole[..keep]]);
            Assert.Equal(
                (keep, "the packed file is cut off: it ends in the middle of its data"),
                (keep, Assert.Throws<InputFaultException>(() => LengthOf(path)).Fault.Problem)
            );
        }

        whole[whole.Length / 2] ^= 0x55;
        File.WriteAllBytes(path, whole);
        Assert.Equal("the packed data are damaged", Assert.Throws<InputFaultException>(() => LengthOf(path)).Fault.Problem);
    }

    private static long LengthOf(string path)
    {
        byte[] buffer = new byte[1 << 20];
        long length = 0;
        using LogSource source = LogSource.Open(path);
        for (int got; (got = source.Read(buffer)) > 0; )
        {
            length += got;
        }

        return length;
    }
}
