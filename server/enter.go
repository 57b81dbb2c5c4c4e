package server

import (
	"context"
	"errors"

	"github.com/gofiber/fiber/v2"

	"fairmeasure/server/auth"
)

// Coming in by name and password. Names, passwords, keys and codes are never logged.

// arrivalJSON is sent to come in by name and password, or to make them.
type arrivalJSON struct {
	Key      string `json:"key"`  // of set-up
	Code     string `json:"code"` // of an invitation
	Name     string `json:"name"` // the account's
	Password string `json:"password"`
	Device   string `json:"device"`
	Journal  string `json:"journal"`
}

func (s *Server) setUp(c *fiber.Ctx, who caller) error {
	return s.arrive(c, who, func(ctx context.Context, in arrivalJSON, a auth.Arrival) (auth.Pass, error) {
		return s.door.Setup(ctx, in.Key, a)
	})
}

func (s *Server) signIn(c *fiber.Ctx, who caller) error {
	return s.arrive(c, who, func(ctx context.Context, _ arrivalJSON, a auth.Arrival) (auth.Pass, error) {
		return s.door.SignIn(ctx, a)
	})
}

func (s *Server) join(c *fiber.Ctx, who caller) error {
	return s.arrive(c, who, func(ctx context.Context, in arrivalJSON, a auth.Arrival) (auth.Pass, error) {
		return s.door.Join(ctx, in.Code, a)
	})
}

func (s *Server) arrive(c *fiber.Ctx, who caller, enter func(context.Context, arrivalJSON, auth.Arrival) (auth.Pass, error)) error {
	var in arrivalJSON
	if err := readJSON(c.BodyRaw(), &in); err != nil {
		return err
	}
	ctx, cancel := context.WithTimeout(c.UserContext(), roundWait)
	defer cancel()
	p, err := enter(ctx, in, auth.Arrival{
		Name: in.Name, Password: in.Password, Device: in.Device, Journal: s.offered(ctx, in.Journal), Addr: who.addr,
		Known: s.cookies.knownIn(c),
	})
	if err != nil {
		s.logTry(err, who)
		return hashedInTime(err)
	}
	return s.letIn(c, p)
}

// hashedInTime says that a password waited too long for its turn; other errors stay what they are.
func hashedInTime(err error) error {
	if errors.Is(err, context.DeadlineExceeded) {
		return errHashing
	}
	return err
}

// askedAgain turns the refusal of a password that a signed-in device was asked for into its answer.
func (s *Server) askedAgain(err error, who caller) error {
	s.logTry(err, who)
	if errors.Is(err, auth.ErrWrong) {
		return errNotPassword
	}
	return hashedInTime(err)
}

type passwordJSON struct {
	Old           string `json:"old"`
	New           string `json:"new"`
	SignOutOthers bool   `json:"sign_out_others"`
}

func (s *Server) changePassword(c *fiber.Ctx, who caller) error {
	var in passwordJSON
	if err := readJSON(c.BodyRaw(), &in); err != nil {
		return err
	}
	ctx, cancel := context.WithTimeout(c.UserContext(), roundWait)
	defer cancel()
	if err := s.door.ChangePassword(ctx, who.Caller, in.Old, in.New); err != nil {
		return s.askedAgain(err, who)
	}
	s.log.Info("a password was changed", "by", who.Device.ID)
	gone := []auth.DeviceID{}
	if in.SignOutOthers {
		others, err := s.door.RevokeOthers(ctx, who.Caller)
		if err != nil {
			return err
		}
		gone = append(gone, others...)
		s.log.Info("the other devices were revoked", "devices", gone, "by", who.Device.ID)
	}
	return c.JSON(fiber.Map{"changed": true, "revoked": gone})
}
